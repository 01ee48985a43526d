"""`groundroll teach` as people type it."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path

import pypdf
import pytest

from groundroll.commands import run
from groundroll.outputs.caution import CAUTION
from tests.teaching.lessons import EXAMPLES, LESSONS


def test_teach__list_names_every_finished_lesson(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["teach", "--list"]) == 0
    text = capsys.readouterr().out
    assert all(f"\n{name} " in f"\n{text}" for name in LESSONS)
    assert CAUTION in text


def test_teach__list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["teach", "--list", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in answer["lessons"]] == sorted(LESSONS)


def test_teach__a_folder_holds_page_slides_and_sheet(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "evening"
    assert run(["teach", "reverse-and-brakes", "-o", str(folder)]) == 0
    names = {one.name for one in folder.iterdir()}
    assert names == {f"reverse-and-brakes{end}" for end in (".html", "-slides.pdf", "-leader.pdf", "-leader.txt")}
    said = capsys.readouterr().out
    assert all(name in said for name in names)
    for end in ("-slides.pdf", "-leader.pdf"):
        pages = pypdf.PdfReader(io.BytesIO((folder / f"reverse-and-brakes{end}").read_bytes())).pages
        assert all("approved flight manual" in " ".join(page.extract_text().split()) for page in pages)
    assert "approved flight manual" in (folder / "reverse-and-brakes.html").read_text(encoding="utf-8")
    before = (folder / "reverse-and-brakes-slides.pdf").read_bytes()
    assert run(["teach", "reverse-and-brakes", "-o", str(folder)]) == 0
    assert (folder / "reverse-and-brakes-slides.pdf").read_bytes() == before


def test_teach__json_is_alone_on_stdout(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["teach", "exit-energy", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert (answer["format"], answer["kind"], answer["name"]) == (1, "lesson", "exit-energy")


def test_teach__set_reaches_every_case(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["teach", "reverse-and-brakes", "--json", "--set", "landing.mass=55 t"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert {case["numbers"]["mass_kg"] for case in answer["cases"]} == {55_000.0}


@pytest.mark.parametrize(
    ("suffix", "begins"),
    [(".html", b"<!doctype"), (".pdf", b"%PDF"), (".xml", b"<?xml"), (".zip", b"PK"), (".txt", b"Exe")],
)
def test_teach__exercises_in_the_form_of_the_name(tmp_path: Path, suffix: str, begins: bytes) -> None:
    file = tmp_path / f"sheet{suffix}"
    assert run(["teach", "exit-energy", "--exercises", "--seed", "4", "--count", "4", "-o", str(file)]) == 0
    assert file.read_bytes().startswith(begins)


def test_teach__exercises_are_the_same_for_a_seed(capsys: pytest.CaptureFixture[str]) -> None:
    texts = []
    for seed in ("4", "4", "5"):
        assert run(["teach", "exit-energy", "--exercises", "--seed", seed, "--count", "6", "--json"]) == 0
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1] != texts[2]


def test_teach__compare_without_a_lesson(tmp_path: Path) -> None:
    cases = [str(EXAMPLES / name / "case.toml") for name in ("wet-gusty-arrival", "rapid-exit")]
    file = tmp_path / "side.html"
    assert run(["teach", "--compare", *cases, "-o", str(file)]) == 0
    assert "Where the difference comes from" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["teach"], "groundroll teach --list"),
        (["teach", "one-second-lat"], 'Was "one-second-late" meant'),
        (["teach", "nowhere/lesson.toml"], "there is no such file"),
        (["teach", str(EXAMPLES / "rapid-exit" / "case.toml")], "case.toml is not a lesson"),
        (["teach", "exit-energy", "stop-or-go"], "2 lessons named"),
        (["teach", "exit-energy", "--format", "pdf"], "--format goes with --exercises"),
        (["teach", "exit-energy", "--sweep", "landing.mass=50 t:60 t"], "go with --compare"),
        (["teach", "exit-energy", "--exercises", "--format", "qti"], "name a file with -o"),
        (["teach", "exit-energy", "-o", "lesson.docx"], "into a folder, or to a file .html, .pdf or .txt"),
        (["teach", "exit-energy", "--exercises", "--count", "0"], "outside 1 to 200"),
        (["teach", "exit-energy", "--set", "landing.mas=50 t"], 'Was "mass" meant'),
        (["teach", "--compare", "nowhere.toml", "nowhere.toml"], "there is no such file"),
    ],
)
def test_teach__mistakes_end_with_exit_code_2_and_what_to_do(
    arguments: list[str], message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert re.search(message, said.err)
