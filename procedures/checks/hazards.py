"""Rules about what a safety data sheet says of a material."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp.foundation.language import tr

from .. import ghs
from ..building import ProcedureDraft
from .rule import Finding, Rule, listed


def statement(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Every statement is a code of the GHS."""
    for key, material in sheet.procedure.materials.items():
        for i, code in enumerate(material.statements):
            if not ghs.is_known(code):
                yield Finding(
                    (*sheet.path("material", key, "statements"), i),
                    tr('"{code}" is no hazard or precautionary statement of the GHS', code=code),
                    tr('Copy the code from the safety data sheet, like "H318" or "P305+P351+P338"'),
                )


def signal_word(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A hazard whose every category carries "Danger" is not announced with less."""
    for key, material in sheet.procedure.materials.items():
        calling = [code for code in ghs.hazards(material.statements) if code in ghs.DANGER]
        if calling and material.signal_word != "Danger":
            yield Finding(
                sheet.path("material", key, "signal_word" if material.signal_word else "statements"),
                tr(
                    '"{name}" has {listed}, which goes with the signal word Danger',
                    name=material.name,
                    listed=listed(calling),
                ),
                tr('Write signal_word = "Danger", or check the statements against the safety data sheet'),
            )


def sheet_date(sheet: ProcedureDraft) -> Iterator[Finding]:
    """Statements say which revision of the safety data sheet they were copied from."""
    for key, material in sheet.procedure.materials.items():
        if ghs.hazards(material.statements) and not material.sheet_revised:
            yield Finding(
                sheet.path("material", key, "statements"),
                tr(
                    '"{name}" has hazard statements, but not the date of its safety data sheet',
                    name=material.name,
                ),
                tr("Add sheet_revised = 2024-11-05, with the date on the sheet"),
            )


def flammable(sheet: ProcedureDraft) -> Iterator[Finding]:
    """A material with a fire statement is marked flammable, so that it is kept from the hot plate."""
    for key, material in sheet.procedure.materials.items():
        burning = [code for code in ghs.hazards(material.statements) if code in ghs.FIRE]
        if burning and not material.flammable:
            yield Finding(
                sheet.path("material", key, "statements"),
                tr(
                    '"{name}" has {listed}, but is not marked as flammable',
                    name=material.name,
                    listed=listed(burning),
                ),
                tr("Add flammable = true"),
            )


RULES = (
    Rule("statement", statement),
    Rule("signal-word", signal_word),
    Rule("sheet-date", sheet_date, grade="warning"),
    Rule("flammable", flammable),
)
