"""Imports: files that are no table, titles, cells and rows that are not fit, and what to do."""

from typing import Final

from django.utils.translation import gettext_noop as _

SENTENCES: Final[dict[str, str]] = {
    # Files.
    "table-broken": _("The workbook is damaged. Open it, save it again as .xlsx, then send that."),
    "table-empty": _(
        "There are no rows in this file. Put the column titles in the first line and the rows "
        "below."
    ),
    "table-encoding": _(
        "The letters in this file cannot be read. Save it as “CSV UTF-8” or as .xlsx, then send "
        "that."
    ),
    "table-locked": _(
        "This workbook is behind a password, or is an old .xls. Take the password off and save it"
        " as .xlsx, then send that."
    ),
    "table-macros": _("This workbook has macros. Save it as .xlsx without macros, then send that."),
    "table-merged": _("The cells {cells} are merged. Unmerge them, so that each row has its own."),
    "table-missing": _("There is no file. Choose a CSV file or a workbook (.xlsx)."),
    "table-not-a-workbook": _(
        "{name} is called a workbook, but it is not one. Save it again as .xlsx, or call it .csv."
    ),
    "table-not-csv": _(
        "{name} is called a CSV file, but it is a workbook. Save it as CSV, or call it .xlsx."
    ),
    "table-quotes": _(
        "Line {line}: a quotation mark is not closed, or stands where it should not. Check the "
        "quotation marks from there on."
    ),
    "table-too-large": _("The file is over {most} MB. Divide it and send the parts."),
    "table-too-long": _("The table has over {most} lines. Divide it and send the parts."),
    "table-too-wide": _(
        "The table is wider than {most} columns. Delete what stands to the right of it."
    ),
    "table-unpacks": _(
        "The workbook unpacks to over {most} MB. Copy the table to a new one, and send that."
    ),
    "table-unreadable": _(
        "This is neither a CSV file nor a workbook (.xlsx). Save the table as one of them."
    ),
    # Titles of columns.
    "header-empty": _("Column {letter} has no title. Give it one, or delete the column."),
    "header-missing": _(
        "These columns are missing: {columns}. Add them, then send the file again."
    ),
    "header-not-first": _(
        "The column titles are in line {line}. Delete the lines above, so that they come first."
    ),
    "header-repeated": _("These columns are there twice: {headers}. Delete one of each."),
    "header-same": _("{headers} mean the same column. Delete one of them."),
    "header-unknown": _(
        "These columns are not known: {unknown}. Rename or delete them. Known columns: {columns}."
    ),
    "header-unknown-data": _(
        "These columns are not known: {unknown}. Rename or delete them. Known columns: {columns};"
        " values of the model are called as in its document, such as pto_speed."
    ),
    # Cells.
    "cell-beyond-headers": _(
        "There is something to the right of the last column title. Delete it, or give its column "
        "a title. In a CSV file, put quotation marks around text with separators in it."
    ),
    "cell-control-character": _(
        "Character {place} cannot be shown. Delete the text and type it again."
    ),
    "cell-date-for-text": _(
        "The spreadsheet made this the date or time {typed}. Format the column as text, then type"
        " it again."
    ),
    "cell-decimal-comma": _(
        "“{typed}” has a comma between digits. Write decimals with a point, and thousands without"
        " a sign."
    ),
    "cell-error": _("The cell shows the error {typed}. Put in what it should be."),
    "cell-exponent": _(
        "The spreadsheet shortened a long number to {typed}. Format the column as text, then type"
        " the number again."
    ),
    "cell-float": _(
        "“{typed}” was made a number. Format the column as text, then type it as on the plate."
    ),
    "cell-foreign-letter": _(
        "Character {place}, “{character}”, only looks like a Latin letter or a digit. Type it "
        "again."
    ),
    "cell-formula": _(
        "This is a formula. Copy the column and paste it as values, then check what it says."
    ),
    "cell-invisible-character": _(
        "Character {place} cannot be seen. Delete the text and type it again."
    ),
    "cell-like-formula": _("“{typed}” begins like a formula. Type it without the sign in front."),
    "cell-missing": _("The cell is empty. Fill it in."),
    "cell-not-text": _("{typed} is yes or no, not text. Format the column as text, then type it."),
    "cell-not-whole": _("“{typed}” is not a whole number. Enter it in digits, such as 2."),
    "cell-number-for-day": _(
        "{typed} is a number, not a date. Format the column as a date, or type it like 2026-03-02."
    ),
    "cell-number-for-text": _(
        "{typed} is a number here, so leading zeros may be lost. Format the column as text, then "
        "type it again."
    ),
    "cell-number-without-unit": _(
        "{typed} has no unit. Format the column as text, then type it with its unit, such as 1.5 "
        "in."
    ),
    "cell-several-lines": _("The text has several lines. Put it on one line."),
    "cell-time-for-day": _("{typed} has a time. Enter the date only, like 2026-03-02."),
    # Rows.
    "row-drops": _(
        "On record, this also has {names}, which would be lost. Add a column for each (an empty "
        "cell clears it); what no column can hold is changed one at a time."
    ),
    "row-is-example": _("This is the example of the template. Delete the row."),
    "row-look-alike": _(
        "Serial number {serial} looks like {other} in line {line}. Compare the plates, then name "
        "the other one as a serial number compared."
    ),
    "row-other-sort": _(
        "{model} is on record as the other of a machine and a tractor. Check the code."
    ),
    "row-repeated": _("This is the same as line {line}. Delete one of the two."),
    # Imports.
    "import-busy": _("This import is still being worked on. Wait until it is done, or stop it."),
    "import-file-erased": _("The file of this import was erased after 30 days. Send it again."),
    "import-has-problems": _(
        "Problems found: {count}. Nothing was done. Correct them and send the file again, or "
        "choose to skip those rows."
    ),
    "import-not-checked": _("The rows were not all checked. Start the check again first."),
    "import-ran": _("This import was already run. Send a new file for what is left."),
    "no-such-import": _("There is no such import of yours. Look at the list of imports again."),
    "no-such-import-kind": _("There is no import “{typed}”. Choose {known}."),
    "import-site-missing": _("Choose the yard that these rows are for."),
    "import-site-unwanted": _("These rows are of no single yard. Leave the yard out."),
}
