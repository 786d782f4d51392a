"""What the mould maker has to know before the first cut: draft, undercut, fairness."""

from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shops.draft.report import draft_findings
from geomgen.shops.fairness.findings import fairness_findings
from geomgen.shops.product import Package


def analysis_package(p: Parameters, model: Model) -> Package:
    """Return the findings and pictures for all moulds of the file and the pod's lines.

    GeometryError when a moulded body can't be made, or the pod has no outer skin.
    """
    draft, drafts = draft_findings(p, model)
    fair, combs = fairness_findings(p, model)
    return Package("mould_maker", sheets=(*drafts, *combs), findings=(*draft, *fair))
