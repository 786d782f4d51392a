"""What the commands do, the stages joined: file, records, solids, files, measurements, verdicts.

Everything heavy is imported inside the functions, so that a refused file answers at once; and each
of these only when it is asked for, so that no command waits for what others need.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
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

# Where each function and each result of the commands is.
_ROOMS = {
    "load": "geomgen.parameters",
    "AirResult": "geomgen.workflows.building.airing",
    "air": "geomgen.workflows.building.airing",
    "BalanceResult": "geomgen.workflows.building.balancing",
    "balance": "geomgen.workflows.building.balancing",
    "BuildResult": "geomgen.workflows.building.build",
    "CheckResult": "geomgen.workflows.building.build",
    "assemble": "geomgen.workflows.building.build",
    "build": "geomgen.workflows.building.build",
    "check": "geomgen.workflows.building.build",
    "schema": "geomgen.workflows.building.build",
    "size": "geomgen.workflows.building.build",
    "compare": "geomgen.workflows.comparing.compare",
    "write_comparison": "geomgen.workflows.comparing.compare",
    "ComparisonResult": "geomgen.workflows.comparing.result",
    "VerifyResult": "geomgen.workflows.comparing.verify",
    "verify": "geomgen.workflows.comparing.verify",
    "HandoffResult": "geomgen.workflows.handing_off.hand_off",
    "handoff": "geomgen.workflows.handing_off.hand_off",
    "ReportResult": "geomgen.workflows.reporting.report",
    "report": "geomgen.workflows.reporting.report",
}

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


def __getattr__(name: str) -> Any:
    """Import what is asked for, and only then."""
    if name not in _ROOMS:
        raise AttributeError(f"geomgen.workflows has no {name!r}; it has {', '.join(__all__)}")
    found = getattr(import_module(_ROOMS[name]), name)
    globals()[name] = found
    return found
