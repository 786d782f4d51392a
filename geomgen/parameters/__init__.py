"""What did the builder write? Unit-checked, frozen records."""

from geomgen.parameters.reading import load
from geomgen.parameters.records import Parameters, fingerprint
from geomgen.parameters.schema import schema
from geomgen.parameters.writing import as_toml

__all__ = ["Parameters", "as_toml", "fingerprint", "load", "schema"]
