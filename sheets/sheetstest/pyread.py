"""Prints what openpyxl reads of workbooks, one line of JSON each: the stored
values by sheet and cell, [kind, value]. Dates are left out: whether a number is
one is a question of its format, which the other reader does not ask."""
import datetime
import json
import sys
import warnings

from openpyxl import load_workbook

warnings.simplefilter("ignore")
KINDS = {"n": "number", "s": "text", "b": "bool", "e": "error"}
for path in sys.argv[1:]:
    book = load_workbook(path, data_only=True, keep_vba=path.endswith("m"))
    sheets = {}
    for sheet in book.worksheets:
        cells = {}
        for row in sheet.iter_rows():
            for c in row:
                v = c.value
                if v is None:
                    continue
                if isinstance(v, (datetime.date, datetime.time, datetime.timedelta)):
                    cells[c.coordinate] = ["date", 0]
                else:
                    cells[c.coordinate] = [KINDS.get(c.data_type, c.data_type), v]
        sheets[sheet.title] = cells
    print(json.dumps(sheets))
