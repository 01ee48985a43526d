"""Exercises as a package of QTI 2.1 items, the open format of 1EdTech, written from memory of its form.

A package is a zip file: a manifest, a test that names the items, and one file for each item. Numbers are text entries,
right where they are near enough; every other exercise is a choice.
"""

from __future__ import annotations

import io
import zipfile
from typing import Final
from xml.etree import ElementTree

from groundroll.outputs.teaching.exercise_forms import ExerciseSet, standing_of
from groundroll.teaching.exercises import Exercise

ITEM: Final = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE: Final = "http://www.imsglobal.org/xsd/imscp_v1p1"
STAMP: Final = (2026, 1, 1, 0, 0, 0)
"""Time of every file in the package, so that the same exercises give the same bytes."""

Element = ElementTree.Element


def exercises_qti(made: ExerciseSet) -> bytes:
    """Return the package as the bytes of a zip file."""
    names = [f"item-{number:03d}" for number in range(1, len(made.exercises) + 1)]
    parts = {"imsmanifest.xml": _manifest(names), "test.xml": _test(made, names)}
    for name, one in zip(names, made.exercises, strict=True):
        parts[f"{name}.xml"] = _item(name, one)
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in parts.items():
            package.writestr(zipfile.ZipInfo(name, STAMP), text, zipfile.ZIP_DEFLATED)
    return content.getvalue()


def _xml(root: Element) -> str:
    ElementTree.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(root, encoding="unicode")}\n'


def _under(parent: Element, name: str, text: str = "", **attributes: str) -> Element:
    made = ElementTree.SubElement(parent, name, attributes)
    made.text = text or None
    return made


def _manifest(names: list[str]) -> str:
    root = Element("manifest", {"xmlns": PACKAGE, "identifier": "groundroll-exercises"})
    metadata = _under(root, "metadata")
    _under(metadata, "schema", "QTIv2.1 Package")
    _under(metadata, "schemaversion", "1.0.0")
    _under(root, "organizations")
    resources = _under(root, "resources")
    test = _under(resources, "resource", identifier="test", type="imsqti_test_xmlv2p1", href="test.xml")
    _under(test, "file", href="test.xml")
    for name in names:
        _under(test, "dependency", identifierref=name)
    for name in names:
        one = _under(resources, "resource", identifier=name, type="imsqti_item_xmlv2p1", href=f"{name}.xml")
        _under(one, "file", href=f"{name}.xml")
    return _xml(root)


def _test(made: ExerciseSet, names: list[str]) -> str:
    root = Element("assessmentTest", {"xmlns": ITEM, "identifier": "test", "title": made.title})
    part = _under(root, "testPart", identifier="part", navigationMode="nonlinear", submissionMode="individual")
    section = _under(part, "assessmentSection", identifier="section", title=made.title, visible="true")
    rubric = _under(section, "rubricBlock", view="candidate")
    for caution in made.cautions:
        _under(rubric, "p", caution)
    for name in names:
        _under(section, "assessmentItemRef", identifier=f"ref-{name}", href=f"{name}.xml")
    return _xml(root)


def _item(name: str, one: Exercise) -> str:
    root = Element(
        "assessmentItem",
        {"xmlns": ITEM, "identifier": name, "title": one.title, "adaptive": "false", "timeDependent": "false"},
    )
    base = "identifier" if one.choices else "float"
    response = _under(root, "responseDeclaration", identifier="RESPONSE", cardinality="single", baseType=base)
    right = _under(response, "correctResponse")
    _under(right, "value", f"choice-{int(one.answer)}" if one.choices else f"{one.answer:.{one.decimals + 2}f}")
    score = _under(root, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    _under(_under(score, "defaultValue"), "value", "0")
    _under(root, "outcomeDeclaration", identifier="FEEDBACK", cardinality="single", baseType="identifier")
    body = _under(root, "itemBody")
    if one.choices:
        asked = _under(body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="true", maxChoices="1")
        _under(asked, "prompt", one.text)
        for place, (text, _) in enumerate(one.choices):
            _under(asked, "simpleChoice", text, identifier=f"choice-{place}")
    else:
        _under(body, "p", one.text)
        line = _under(body, "p", "Answer: ")
        entry = _under(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="12")
        entry.tail = f" {one.unit}"
    _processing(root, one)
    feedback = _under(root, "modalFeedback", outcomeIdentifier="FEEDBACK", identifier="solution", showHide="show")
    for text in (f"Answer: {one.answer_words}.", *one.solution, standing_of(one)):
        _under(feedback, "p", text)
    return _xml(root)


def _processing(root: Element, one: Exercise) -> None:
    condition = _under(_under(root, "responseProcessing"), "responseCondition")
    right = _under(condition, "responseIf")
    if one.choices:
        test = _under(right, "match")
    else:
        within = f"{one.tolerance:.6g}"
        test = _under(right, "equal", toleranceMode="absolute", tolerance=f"{within} {within}")
    _under(test, "variable", identifier="RESPONSE")
    _under(test, "correct", identifier="RESPONSE")
    given = _under(right, "setOutcomeValue", identifier="SCORE")
    _under(given, "baseValue", "1", baseType="float")
    processing = root.find("responseProcessing")
    assert processing is not None  # it was made above
    told = _under(processing, "setOutcomeValue", identifier="FEEDBACK")
    _under(told, "baseValue", "solution", baseType="identifier")
