"""The questions of `geomgen new` on a terminal, one by one: Enter takes the default."""

from collections.abc import Callable, Sequence
from typing import TextIO

from geomgen.errors import ParameterError
from geomgen.starting.choices import Option

HOW = "Enter takes what stands between [ ]; Ctrl-C stops, and nothing is written.\n"


class Questions:
    """Asks on one stream, reads from another."""

    def __init__(self, answers: TextIO, shown: TextIO) -> None:
        self._answers, self._shown = answers, shown
        shown.write(HOW)

    def text(self, words: str, default: str, accept: Callable[[str], object]) -> str:
        """Return the answer to a question; ask again while `accept` raises ParameterError.

        ParameterError when the input ends.
        """
        while True:
            self._shown.write(f"{words} [{default}]: ")
            self._shown.flush()
            line = self._answers.readline()
            if not line.endswith("\n"):
                self._shown.write("\n")
                raise ParameterError(
                    "the input ended before all was answered; nothing was written",
                    advice="answer each question, or give the options: geomgen new --help",
                )
            answer = line.strip() or default
            try:
                accept(answer)
            except ParameterError as error:
                self._shown.write(f"  {error.problem}; allowed: {error.allowed}\n")
            else:
                return answer

    def option(self, option: Option) -> str:
        """Return the answer for an option, its choices shown with what they mean."""
        wide = max(map(len, option.values))
        rows = [f"  {value:<{wide}}  {words}\n" for value, words in option.values.items()]
        self._shown.write(f"\n{option.question}\n{''.join(rows)}")
        if option.several:
            self._shown.write(f"  ({option.allowed})\n")
        return self.text(option.name, option.default, option.read)


def asked(options: Sequence[Option], questions: Questions) -> dict[str, str]:
    """Return the answer to each option."""
    return {option.name: questions.option(option) for option in options}
