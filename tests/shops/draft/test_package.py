"""The analysis of the example: both halves of it are there, and nothing is called a failure."""

from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import pod_body, pod_lines
from geomgen.shops.draft.package import analysis_package


def test_findings_and_sheets_of_one_mould(saltmarsh: Parameters) -> None:
    assert saltmarsh.handoff is not None
    moulds = tuple(m for m in saltmarsh.handoff.moulds if m.part == "tail_fairing")
    p = saltmarsh.model_copy(
        update={"handoff": saltmarsh.handoff.model_copy(update={"moulds": moulds})}
    )
    package = analysis_package(p, Model(parts={"pod": pod_body(pod_lines(p), 0.0)}))
    assert package.shop == "mould_maker"
    assert {f.id.split(".")[0] for f in package.findings} == {"draft", "fairness"}
    assert len({f.id for f in package.findings}) == len(package.findings)
    assert not [f for f in package.findings if f.verdict == "fail"]
    names = [sheet.name for sheet in package.sheets]
    assert names == ["draft_tail_fairing_right", "draft_tail_fairing_left", "fairness_pod"]
    assert not any(sheet.full_size for sheet in package.sheets)
