"""One part a file: records in, named solids out; and the assembly."""
