"""Model sheets as a person reads, makes, changes and shares them.

sheets(shelf) -> tuple[SheetCard, ...]        every sheet, by title; a shelf is a workshop or a library
sheet(shelf, name) -> SheetView               UnknownThing
sheet_file(shelf, name) -> (file name, text)  a sheet as one file
kept_in(ws, name) -> Path                     the file of an own sheet
make_sheet(ws, origin, title, make, year) -> str     a new own sheet from a family or a sheet; its id
sheet_form(ws, name) -> dict                  an own sheet as the fields of its form
sheet_choices(ws, name) -> SheetChoices       what may be named on it
change_sheet(ws, name, fields) -> dict        problems by field; kept when there is none
compare_sheet(ws, text) -> ComparedSheet      what taking a file in would change; nothing is written
take_in_sheet(ws, text) -> str                take it in; BadInput where it clashes
"""

from powergood.bench.modelsheets.changing import change_sheet, sheet_form
from powergood.bench.modelsheets.choices import sheet_choices
from powergood.bench.modelsheets.making import make_sheet
from powergood.bench.modelsheets.reading import kept_in, sheet, sheet_file, sheets
from powergood.bench.modelsheets.taking_in import compare_sheet, take_in_sheet

__all__ = [
    "change_sheet",
    "compare_sheet",
    "kept_in",
    "make_sheet",
    "sheet",
    "sheet_choices",
    "sheet_file",
    "sheet_form",
    "sheets",
    "take_in_sheet",
]
