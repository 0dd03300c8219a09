"""One invented lesson's rows, written in any dialect a test asks for."""

from collections.abc import Callable
from pathlib import Path

import pytest

WriteTable = Callable[..., Path]


@pytest.fixture
def write_table(tmp_path: Path) -> WriteTable:
    def write(content: str | bytes, name: str = "table.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(content.encode(encoding) if isinstance(content, str) else content)
        return path

    return write
