"""Templates filled: values are text, files beside them are not; a name that is missing is told."""

import pytest
from jinja2 import UndefinedError

from geomgen.documents.pressure_legend import pressure_legend
from geomgen.documents.record import Row, Table
from geomgen.pages.templates import rendered

LIVE = "watching/live_page/page/live.html.j2"


def test_values_are_only_text():
    page = rendered(
        LIVE, title="<b>&", token="t", cautions=("one", "two"), legend=pressure_legend()
    )
    assert "<b>" not in page
    assert "&lt;b&gt;&amp;" in page


def test_a_value_that_is_missing_is_not_left_out():
    with pytest.raises(UndefinedError, match="token"):
        rendered(LIVE, title="t", cautions=("one", "two"))


def test_a_table_is_set_with_heads_numbers_and_the_id_of_a_row():
    from jinja2 import Environment, PackageLoader

    table = Table(
        ("part", "size"),
        (Row(("hull & fin\nhull.size", "3 <mm>\nor 4")),),
        title="Sizes",
        numbers=(1,),
    )
    environment = Environment(loader=PackageLoader("geomgen", ""), autoescape=True)
    text = str(environment.get_template("documents/table.html.j2").module.table_of(table, "told"))
    assert 'aria-label="Sizes"' in text
    assert '<th scope="col">part</th><th scope="col" class="number">size</th>' in text
    assert '<th scope="row">hull &amp; fin<br><code>hull.size</code></th>' in text
    assert '<td class="number">3 &lt;mm&gt;<br>or 4</td>' in text
