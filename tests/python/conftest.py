"""Sizes of the checks (a fixed-seed slice, or the full numbers) and the table of what was shown."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

FULL = os.environ.get("FOLDSWING_FULL") == "1"
_shown: list[tuple[str, str]] = []

settings.register_profile(
    "slice", derandomize=True, deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile(
    "full", derandomize=True, deadline=None, max_examples=1000, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("full" if FULL else "slice")


@pytest.fixture
def size() -> Callable[[int, int], int]:
    """size(ci, full): how many cases this run does."""
    return lambda ci, full: full if FULL else ci


@pytest.fixture
def show() -> Callable[[str, str], None]:
    """show(what, measured): one line of the closing table."""
    return lambda what, measured: _shown.append((what, measured))


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Hand the lines of a process that runs a share of the tests to the one that prints them."""
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["shown"] = _shown


@pytest.hookimpl(optionalhook=True)  # known only where the tests are shared out
def pytest_testnodedown(node: Any) -> None:
    """Take over the lines of such a process."""
    _shown.extend(tuple(line) for line in getattr(node, "workeroutput", {}).get("shown", ()))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if _shown:
        terminalreporter.section("shown")
        for what, measured in sorted(_shown):
            terminalreporter.write_line(f"{what}: {measured}")
