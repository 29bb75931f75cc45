"""One place for dependencies: what other files repeat of it must agree with it."""

from __future__ import annotations

import re
import tomllib

import pytest
import yaml

# Conda calls some packages otherwise, or has them only through pip.
CONDA_NAMES = {"matplotlib-base": "matplotlib"}


def project(clone) -> dict:
    return tomllib.loads((clone / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def bounds(requirements: list[str]) -> dict[str, str]:
    """Version bounds by package name."""
    split = [re.match(r"([\w-]+)\s*(.*)", one.replace(" ", "")) for one in requirements]
    return {one.group(1).lower().replace("_", "-"): one.group(2) for one in split if one}


def conda_bounds(environment: str) -> dict[str, str]:
    """Version bounds of a conda environment, those of its pip part included."""
    listed = yaml.safe_load(environment)["dependencies"]
    through_pip = [one["pip"] for one in listed if isinstance(one, dict)]
    plain = [one for one in listed if isinstance(one, str)] + sum(through_pip, [])
    found = bounds([one for one in plain if not one.startswith("-")])
    return {CONDA_NAMES.get(name, name): bound for name, bound in found.items()}


def pinned(lock: str) -> dict[str, str]:
    """Versions in a lock file by package name."""
    return dict(re.findall(r"^([\w.-]+)==([\w.]+)", lock, re.MULTILINE))


def test_the_readers_see_a_difference():
    assert bounds(["a>=1", "b >= 2, <3"]) == {"a": ">=1", "b": ">=2,<3"}
    assert conda_bounds("dependencies: [python>=3, a>=1, {pip: [b>=2, -e .]}]") == {
        "python": ">=3",
        "a": ">=1",
        "b": ">=2",
    }
    assert pinned("a==1.0 \\\n    --hash=x\nb-c==2 ; python_version<'4'") == {
        "a": "1.0",
        "b-c": "2",
    }


def test_conda_environment_has_the_same_bounds(clone):
    conda = conda_bounds((clone / "environment.yml").read_text(encoding="utf-8"))
    wanted = bounds(project(clone)["dependencies"])
    assert conda.pop("python") == project(clone)["requires-python"]
    conda.pop("pip")
    assert conda == wanted


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-data.lock"])
def test_lock_pins_with_checksums_and_names_no_host(clone, name):
    lines = (clone / name).read_text(encoding="utf-8").splitlines()
    entries = [number for number, line in enumerate(lines) if "==" in line and line[0].isalnum()]
    assert entries
    for number in entries:
        assert lines[number + 1].strip().startswith("--hash=sha256:"), lines[number]
    assert not [line for line in lines if "://" in line or "index-url" in line]


def test_lock_holds_all_that_is_asked_for_within_its_bounds(clone):
    from packaging.specifiers import SpecifierSet

    versions = pinned((clone / "requirements.lock").read_text(encoding="utf-8"))
    asked = project(clone)["dependencies"] + project(clone)["optional-dependencies"]["test"]
    wrong = [
        f"{name}{bound}: the lock has {versions.get(name)}"
        for name, bound in bounds(asked).items()
        if name not in versions or versions[name] not in SpecifierSet(bound)
    ]
    assert not wrong, "renew the lock: " + "; ".join(wrong)


def test_lock_knows_every_system(clone):
    lock = (clone / "requirements.lock").read_text(encoding="utf-8")
    assert re.search(r"^colorama==.*sys_platform == 'win32'", lock, re.MULTILINE)
    assert re.search(r"^appnope==.*sys_platform == 'darwin'", lock, re.MULTILINE)


def test_entry_points_exist():
    from importlib.metadata import entry_points

    commands = entry_points(group="console_scripts", name="coldbench")
    exporters = [
        one for one in entry_points(group="nbconvert.exporters") if "coldbench" in one.name
    ]
    assert {one.name for one in exporters} == {"coldbench-html", "coldbench-pdf"}
    for one in [*commands, *exporters]:
        assert callable(one.load())
