"""The lock file fits pyproject.toml: every dependency named there is locked, by hash, to a version it allows."""

import re
import tomllib
from typing import NamedTuple

from conftest import ROOT
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

HASH = re.compile(r"--hash=sha256:[0-9a-f]{64}")


class Locked(NamedTuple):
    """One package of the lock file: its version, its hashes, and who asks for it."""

    name: str
    version: Version
    hashes: list[str]
    asked_by: set[str]


def locked() -> list[Locked]:
    """Every entry, in order; a package may have several for different Pythons."""
    text = (ROOT / "requirements-lock.txt").read_text(encoding="utf-8")
    entries = re.split(r"^(?=\S)", text, flags=re.MULTILINE)[1:]
    found = []
    for entry in entries:
        named = re.match(r"([A-Za-z0-9._-]+)==(\S+)", entry)
        assert named, f"no exact version: {entry.splitlines()[0]}"
        asked_by = re.findall(r"^ +#(?: via)? +([\w.-]+(?: \(pyproject\.toml\))?)", entry, re.MULTILINE)
        found.append(Locked(canonicalize_name(named[1]), Version(named[2]), HASH.findall(entry), set(asked_by)))
    return found


def asked() -> list[Requirement]:
    """What pyproject.toml asks for, all extras included."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    listed = [*project["dependencies"], *(one for extra in project["optional-dependencies"].values() for one in extra)]
    return [Requirement(one) for one in listed]


def test_every_dependency_is_locked_to_a_version_that_is_allowed() -> None:
    by_name: dict[str, list[Locked]] = {}
    for one in locked():
        by_name.setdefault(one.name, []).append(one)
    for requirement in asked():
        found = by_name.get(canonicalize_name(requirement.name), [])
        assert found, f"{requirement}: not locked"
        assert all(one.version in requirement.specifier for one in found), f"{requirement}: locked to {found}"


def test_every_locked_version_has_its_hashes() -> None:
    assert len(locked()) > 60
    assert [one.name for one in locked() if not one.hashes] == []


def test_the_lock_file_asks_for_what_pyproject_asks_for_and_nothing_else() -> None:
    ours = {one.name for one in locked() if "fleetreport (pyproject.toml)" in one.asked_by}
    assert ours == {canonicalize_name(one.name) for one in asked()}
    assert [one.name for one in locked() if not one.asked_by] == []


def test_every_least_version_is_stated() -> None:
    """A bound below which nobody has tried is told by the resolver's lowest versions, which need one to be there."""
    assert [str(one) for one in asked() if not any(part.operator in (">=", "==") for part in one.specifier)] == []
