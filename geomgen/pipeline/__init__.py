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
from geomgen.pipeline.handing_off import HandoffResult, handoff
from geomgen.pipeline.reporting import ReportResult, report
from geomgen.pipeline.verifying import VerifyResult, verify

__all__ = [
    "BuildResult",
    "CheckResult",
    "HandoffResult",
    "ReportResult",
    "VerifyResult",
    "assemble",
    "build",
    "check",
    "handoff",
    "load",
    "report",
    "schema",
    "size",
    "verify",
]
