"""Published values and fixed wordings, each in one data file with its source.

Code asks for a table by name and never repeats a value. A file is one TOML table: a title, the
``source`` key (looked up in ``sources.toml``) and its rows, each row with a ``key``. A table of very many
alike rows is a CSV file with the same columns in every row.
"""

from tameshi.reference.table import Row, Table, row, source, table, table_names

__all__ = ["Row", "Table", "row", "source", "table", "table_names"]
