"""What may be chosen for a new parameter file, each choice in words; what a builder chose.

Light: the command line lists the choices before anything else is loaded.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from geomgen.errors import ParameterError

ALL, NONE = "all", "none"


@dataclass(frozen=True)
class Option:
    """One thing to choose: its name on the command line, its values with what each means.

    With `several` any of the values go together, between commas; `none` and `all` say what they
    say where `empty` allows nothing at all.
    """

    name: str
    question: str
    values: Mapping[str, str]
    default: str
    several: bool = False
    empty: bool = False

    @property
    def allowed(self) -> str:
        """Say in words what may be written."""
        listed = ", ".join(self.values)
        if not self.several:
            return listed
        extra = f", or {ALL}" + (f" or {NONE}" if self.empty else "")
        return f"one or more of {listed}, with commas between{extra}"

    def read(self, text: str) -> tuple[str, ...]:
        """Return the values of a text; ParameterError says what is allowed.

        >>> SCOOPS.read("belly, cheek")
        ('cheek', 'belly')
        >>> GEAR.read("tricycel")
        Traceback (most recent call last):
        ...
        geomgen.errors.ParameterError: --gear: not one of the choices
          written: tricycel
          allowed: tricycle, tailwheel
        """
        parts = [part.strip().lower() for part in text.split(",")]
        if self.several and parts == [ALL]:
            return tuple(self.values)
        if self.empty and parts == [NONE]:
            return ()
        if not set(parts) <= set(self.values) or (len(parts) > 1 and not self.several):
            raise ParameterError(
                "not one of the choices",
                key=f"--{self.name}",
                written=text[:60] if text.isprintable() and text else ascii(text[:60]),
                allowed=self.allowed,
            )
        return tuple(value for value in self.values if value in parts)


GEAR = Option(
    "gear",
    "Landing gear",
    {
        "tricycle": "two main wheels and a nosewheel",
        "tailwheel": "two main wheels and a small wheel under each boom",
    },
    "tricycle",
)
WING = Option(
    "wing",
    "Place of the wing",
    {
        "low": "through the pod, in its lower third",
        "mid": "through the pod, at half its height",
        "shoulder": "through the pod, just below its crown",
        "pylon": "above the pod, on a pylon",
        "parasol": "high above the pod, on a tall pylon with bracing of your own",
    },
    "pylon",
)
TAIL = Option(
    "tail",
    "Tail",
    {
        "between": "tailplane between the booms, a fin on each boom",
        "high": "tailplane high between the two fins",
        "inverted-v": "two surfaces from the booms up to the centre plane, no fins",
    },
    "between",
)
SCOOPS = Option(
    "scoops",
    "Cooling-air scoops",
    {
        "cheek": "a pair on the sides of the pod",
        "shoulder": "a pair above the sides",
        "belly": "one below the pod",
    },
    "cheek",
    several=True,
    empty=True,
)
UNITS = Option(
    "units",
    "Units of the file",
    {
        "metric": "millimetres, kilograms, kilowatts, clearances of CS 22.925",
        "imperial": "inches, pounds, horsepower, clearances of 14 CFR 23.925",
    },
    "metric",
)
SHOPS = Option(
    "shops",
    "Shops that files are handed to",
    {
        "moulds": "a mould maker",
        "foam": "foam slabs across the pod",
        "cores": "hot-wire cores of the wing",
        "sheet": "a sheet metal shop, for the firewall",
    },
    ALL,
    several=True,
    empty=True,
)
MASSES = Option(
    "masses",
    "Masses, items, who is carried, and the pilot's seat",
    {
        "yes": "written, our own estimates: weigh yours and write it over them",
        "no": "left out, their tables named behind a #",
    },
    "yes",
)
OPTIONS = (GEAR, WING, TAIL, SCOOPS, UNITS, SHOPS, MASSES)


@dataclass(frozen=True)
class AircraftChoices:
    """What a builder chose for a new file."""

    name: str
    title: str
    gear: str
    wing: str
    tail: str
    scoops: tuple[str, ...]
    units: str
    shops: tuple[str, ...]
    masses: str = "yes"

    @property
    def described(self) -> bool:
        """Whether masses and pilot are written."""
        return self.masses == "yes"

    @property
    def through(self) -> bool:
        """Whether the wing runs through the pod."""
        return self.wing in ("low", "mid", "shoulder")

    def words(self) -> dict[str, str]:
        """Return what was chosen as it is written on the command line, by option."""
        values = {option.name: getattr(self, option.name) for option in OPTIONS}
        return {k: v if isinstance(v, str) else ",".join(v) or NONE for k, v in values.items()}


def choices_of(name: str, title: str, chosen: Mapping[str, str]) -> AircraftChoices:
    """Return what was chosen by option, the default for what was not; ParameterError if refused.

    >>> choices_of("mine", "Mine", {"wing": "low"}).gear
    'tricycle'
    """
    found = {
        option.name: option.read(chosen.get(option.name, option.default)) for option in OPTIONS
    }
    one = {option.name: found[option.name][0] for option in OPTIONS if not option.several}
    many = {option.name: found[option.name] for option in OPTIONS if option.several}
    return AircraftChoices(name, title, **one, **many)  # type: ignore[arg-type]


def name_from(words: str) -> str:
    """Return a short name out of a file's name: lower case, digits, - and _.

    >>> name_from("My Bird 2"), name_from("Möwe"), name_from("...")
    ('my-bird-2', 'm-we', 'mine')
    """
    text = "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "-" for c in words.lower())
    return _single(text.strip("-_"))[:40].rstrip("-_") or "mine"


def _single(text: str) -> str:
    parts: Iterable[str] = (part for part in text.split("-") if part)
    return "-".join(parts)
