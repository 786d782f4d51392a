"""The only place that joins the stages: file, records, solids, files, measurements, verdicts.

Everything heavy is imported inside the functions, so that a refused file answers at once.
"""

from geomgen.parameters import load
from geomgen.pipeline.building import (
    BuildResult,
    CheckResult,
    assemble,
    build,
    check,
    schema,
    size,
)
from geomgen.pipeline.comparing import compare, write_comparison
from geomgen.pipeline.comparing_result import ComparisonResult
from geomgen.pipeline.handing_off import HandoffResult, handoff
from geomgen.pipeline.reporting import ReportResult, report
from geomgen.pipeline.verifying import VerifyResult, verify

__all__ = [
    "BuildResult",
    "CheckResult",
    "ComparisonResult",
    "HandoffResult",
    "ReportResult",
    "VerifyResult",
    "assemble",
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
