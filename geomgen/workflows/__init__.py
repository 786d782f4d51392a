"""What the commands do, the stages joined: file, records, solids, files, measurements, verdicts.

Everything heavy is imported inside the functions, so that a refused file answers at once.
"""

from geomgen.parameters import load
from geomgen.workflows.building.airing import AirResult, air
from geomgen.workflows.building.balancing import BalanceResult, balance
from geomgen.workflows.building.build import (
    BuildResult,
    CheckResult,
    assemble,
    build,
    check,
    schema,
    size,
)
from geomgen.workflows.comparing.compare import compare, write_comparison
from geomgen.workflows.comparing.result import ComparisonResult
from geomgen.workflows.comparing.verify import VerifyResult, verify
from geomgen.workflows.handing_off.hand_off import HandoffResult, handoff
from geomgen.workflows.reporting.report import ReportResult, report

__all__ = [
    "AirResult",
    "BalanceResult",
    "BuildResult",
    "CheckResult",
    "ComparisonResult",
    "HandoffResult",
    "ReportResult",
    "VerifyResult",
    "air",
    "assemble",
    "balance",
    "build",
    "check",
    "compare",
    "handoff",
    "load",
    "report",
    "schema",
    "size",
    "verify",
    "write_comparison",
]
