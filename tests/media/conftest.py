"""Clips are made once for a session, each when first asked for."""

from collections.abc import Callable

import pytest
from media_clips import RECIPES, Made


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Made]:
    folder = tmp_path_factory.mktemp("clips")
    done: dict[str, Made] = {}

    def get(name: str) -> Made:
        if name not in done:
            done[name] = RECIPES[name](folder)
        return done[name]

    return get
