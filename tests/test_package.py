"""The package finds what travels with it, from a clone and from a wheel."""

from __future__ import annotations

import pytest

import coldbench


def test_the_clone_keeps_its_folders_at_the_top(clone):
    assert coldbench.shipped("templates") == clone / "templates"


def test_a_wheel_keeps_them_inside_the_package(monkeypatch, tmp_path):
    package = tmp_path / "site-packages" / "coldbench"
    (package / "notebooks").mkdir(parents=True)
    monkeypatch.setattr(coldbench, "__file__", str(package / "__init__.py"))
    assert coldbench.shipped("notebooks") == (package / "notebooks").resolve()


def test_a_broken_installation_says_so(monkeypatch, tmp_path):
    monkeypatch.setattr(coldbench, "__file__", str(tmp_path / "a" / "coldbench" / "__init__.py"))
    with pytest.raises(FileNotFoundError, match="templates"):
        coldbench.shipped("templates")
