"""What is judged of each loading alone."""

from weighed_machines import contacts, machine, measured

from geomgen.balance.judged import loading_checks
from geomgen.balance.state import balance_state


def test_a_loading_that_is_called_as_an_extreme_hides_nothing_of_it():
    p, every = machine(), [*measured(), *contacts()]
    state = balance_state(p, every)
    assert state is not None
    alone = loading_checks(p, state, every)
    extreme, case = state.every[0].name, p.loads.cases[0]
    cases = (case.model_copy(update={"name": extreme}),)
    p = p.model_copy(update={"loads": p.loads.model_copy(update={"cases": cases})})
    state = balance_state(p, every)
    assert state is not None
    both = loading_checks(p, state, every)
    due = (*alone[extreme], *alone[case.name])
    assert [(c.id, c.measured) for c in both[extreme]] == [(c.id, c.measured) for c in due]
