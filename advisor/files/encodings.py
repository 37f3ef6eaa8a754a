"""The text of a file that another program wrote: in UTF-8, UTF-16 or, where it is neither, in cp1252."""

import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE

from advisor.files.problems import BadInput, Problem

WANTED = "a table saved as CSV in UTF-8"
_LOOKED_AT = 2000  # bytes from which a UTF-16 without a byte order mark is told
_UTF8_PAIR = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}")


def decoded(name: str, data: bytes) -> tuple[str, str]:
    """The text of the bytes, and the name of the encoding that was taken: utf-8, utf-16 or cp1252.

    Raises:
        BadInput: bytes that are no text, or text in UTF-8 with a broken byte, which cp1252 would garble.
    """
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return _plain(name, _utf16(name, data, "utf-16")), "utf-16"
    if b"\0" in data and (codec := _utf16_without_mark(data)):
        return _plain(name, _utf16(name, data, codec)), "utf-16"
    try:
        return _plain(name, data.decode("utf-8-sig")), "utf-8"
    except UnicodeDecodeError as error:
        broken = error.start
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as error:
        raise _refused(name, data, error.start, "that is neither UTF-8 nor cp1252") from None
    if data.startswith(BOM_UTF8) or _UTF8_PAIR.search(data):
        raise _refused(name, data, broken, "that is no UTF-8, in a file that else looks like it")
    return _plain(name, text), "cp1252"


def _utf16(name: str, data: bytes, codec: str) -> str:
    try:
        return data.decode(codec)
    except UnicodeDecodeError:
        raise BadInput([Problem(name, None, "", "a broken text in UTF-16", WANTED)]) from None


def _utf16_without_mark(data: bytes) -> str | None:
    """The codec of a text in UTF-16 without a mark: most of its high bytes are 0. Nothing where it is none."""
    head = data[:_LOOKED_AT]
    for codec, high in (("utf-16-le", head[1::2]), ("utf-16-be", head[::2])):
        if len(data) % 2 == 0 and high.count(0) * 10 > len(high) * 8:
            try:
                text = data.decode(codec)
            except UnicodeDecodeError:
                continue
            return None if "\0" in text else codec
    return None


def _plain(name: str, text: str) -> str:
    if (at := text.find("\0")) >= 0:
        raise BadInput([Problem(name, text.count("\n", 0, at) + 1, "", "binary data", WANTED)])
    return text


def _refused(name: str, data: bytes, at: int, why: str) -> BadInput:
    return BadInput([Problem(name, data.count(b"\n", 0, at) + 1, "", f"a byte 0x{data[at]:02x} {why}", WANTED)])
