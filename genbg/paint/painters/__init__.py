"""The painters, one file or one folder each; `paint/table.py` names them."""
