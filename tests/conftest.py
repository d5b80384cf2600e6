import os
from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def shared_folder() -> Path:
    """The folder of outside workbooks and checkers; not part of the project."""
    beside = Path(__file__).parents[2] / "shared"
    folder = Path(os.environ.get("SHEETKIT_SHARED", beside))
    if not folder.is_dir():
        reason = f"no folder of outside workbooks at {folder} (set SHEETKIT_SHARED)"
        if os.environ.get("CI") == "true":
            pytest.fail(reason)
        pytest.skip(reason)
    return folder
