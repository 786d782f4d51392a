"""What did the builder write? Unit-checked, frozen records."""

from geomgen.parameters.editing.schema import schema
from geomgen.parameters.editing.writing import as_toml
from geomgen.parameters.reading.loading import load
from geomgen.parameters.records.aircraft import Parameters, fingerprint

__all__ = ["Parameters", "as_toml", "fingerprint", "load", "schema"]
