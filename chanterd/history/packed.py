"""Compressed JSON in a column: a judged rep is some 1.5 kB of JSON, mostly the same words, and there are many."""

import json
import zlib
from typing import Any

from sqlalchemy import Dialect, LargeBinary
from sqlalchemy.types import TypeDecorator


class PackedJson(TypeDecorator[Any]):
    """A value as JSON in UTF-8, compressed by zlib (RFC 1950)."""

    impl = LargeBinary
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> bytes | None:  # noqa: ANN401, ARG002
        """Compress a value on its way into the database."""
        return None if value is None else pack(value)

    def process_result_value(self, value: bytes | None, dialect: Dialect) -> Any:  # noqa: ANN401, ARG002
        """Restore a value; None if its bytes are damaged, so that one of them does not spoil a whole query."""
        try:
            return None if value is None else json.loads(zlib.decompress(value))
        except (zlib.error, ValueError, TypeError, RecursionError):
            return None


def pack(value: Any) -> bytes:  # noqa: ANN401 - whatever JSON can say
    """The bytes to store."""
    return zlib.compress(json.dumps(value, separators=(",", ":"), allow_nan=False).encode(), 6)
