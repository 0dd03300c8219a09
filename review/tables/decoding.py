"""From a file to text: what kind of file it is, which encoding it is in, where its fields part."""

import codecs
import csv
import hashlib
import io
from collections.abc import Iterator
from pathlib import Path

from review.errors import BadInputError, MachineError

MAX_BYTES = 256 * 1024 * 1024
_ZIP = b"PK\x03\x04"
_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_BOMS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
_CONTROL = frozenset(chr(code) for code in range(32)) - frozenset("\t\n\r\f\x1a")


def read_content(path: Path) -> bytes:
    """Read a table file whole.

    Raises
    ------
    BadInputError
        There is no such file, it is no ordinary file, it is empty or larger than ``MAX_BYTES``.
    MachineError
        The file may not be read, or the disk failed.
    """
    name = path.name or str(path)
    try:
        if not path.exists():
            raise BadInputError(
                f"{name}: expected a table, found no file of that name in {path.parent}; check the name"
            )
        if not path.is_file():
            raise BadInputError(f"{name}: expected a table file, found a folder or a device; name the file inside it")
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise BadInputError(
                f"{name}: expected a table of at most {MAX_BYTES // 1024**2} MB, found {size // 1024**2} MB; "
                "cut it to the lesson"
            )
        content = path.read_bytes()
    except BadInputError:
        raise
    except PermissionError as error:
        raise MachineError(f"{name}: this account may not read the file; change its permissions") from error
    except (OSError, ValueError) as error:
        raise MachineError(f"{name}: the file could not be read ({error}); try again or copy it anew") from error
    if not content.strip():
        raise BadInputError(f"{name}: expected a table with a header, found an empty file; save the table again")
    return content


def compute_sha256(content: bytes) -> str:
    """Compute the hexadecimal SHA-256 of a file's content."""
    return hashlib.sha256(content).hexdigest()


def is_workbook(content: bytes, name: str) -> bool:
    """Whether the content is a workbook (a zip archive); old binary workbooks are refused.

    Raises
    ------
    BadInputError
        A workbook in the old binary form, or one locked with a password.
    """
    if content.startswith(_OLD_OFFICE):
        raise BadInputError(
            f"{name}: expected CSV, TSV, XLSX, ODS or JSON, found an old or password-locked workbook; "
            "save it as XLSX without a password, or as CSV"
        )
    return content.startswith(_ZIP)


def decode_text(content: bytes, name: str) -> str:
    """Decode a text table: BOM first, then UTF-16 by its zero bytes, then UTF-8, then Windows-1252.

    Raises
    ------
    BadInputError
        The content is no text.
    """
    refused = BadInputError(
        f"{name}: expected a table (CSV, TSV, XLSX, ODS or JSON), found binary content; "
        "export the table again from the device's program"
    )
    encoding = _find_encoding(content)
    for candidate in [encoding] if encoding else ["utf-8", "cp1252"]:
        try:
            text = content.decode(candidate)
        except UnicodeDecodeError:
            continue
        if _CONTROL.isdisjoint(text):
            return text.rstrip("\x1a")
        raise refused
    raise refused


def narrow_text(content: bytes) -> bytes:
    """Put text of two bytes a character into UTF-8, where a line's end is one byte; other content stays as it is.

    Half a character at the end, of a file that is still being written, is left out.
    """
    encoding = _find_encoding(content)
    if not encoding.startswith("utf-16"):
        return content
    try:
        return codecs.getincrementaldecoder(encoding)().decode(content).encode()
    except UnicodeError:  # no text: told by who reads it
        return content


def _find_encoding(content: bytes) -> str:
    """Encoding by BOM or, of UTF-16 without one, by its zero bytes; '' when neither tells."""
    encoding = next((encoding for bom, encoding in _BOMS if content.startswith(bom)), "")
    if encoding or b"\x00" not in content[:4096]:
        return encoding
    head = content[:4096]
    odd, even = head[1::2].count(0), head[0::2].count(0)
    return "utf-16-le" if odd > even else "utf-16-be"


def split_lines(text: str, delimiter: str, name: str, limit: int | None = None) -> Iterator[tuple[int, list[str]]]:
    """Split text into fields; gives the line on which a row starts, counted from 1, and its fields.

    Raises
    ------
    BadInputError
        A quote is not closed, or a field is too long to be one.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=limit is None)
    line = 1
    try:
        for fields in reader:
            if limit is not None and line > limit:
                return
            yield line, fields
            line = reader.line_num + 1
    except csv.Error as error:
        if limit is not None:
            return
        raise BadInputError(
            f"{name}, line {line}: expected fields parted by {describe_delimiter(delimiter)}, "
            f"found a quotation mark that is not closed or stands in the wrong place ({error}); correct that line"
        ) from error


def describe_delimiter(delimiter: str) -> str:
    """What a coach calls the delimiter."""
    return {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright bars"}.get(delimiter, repr(delimiter))
