"""language: which languages there are, and which one people read and the record is written in."""

from __future__ import annotations

import argparse
from dataclasses import replace

from rich.console import Console

from benchapp.commands.options import Parser, runs
from benchapp.commands.output import say, show
from benchapp.foundation.catalogues import NAMES, OWN, codes, language_of
from benchapp.foundation.language import tr
from benchapp.runtime.languages import speak_as_chosen
from benchapp.runtime.settings import data_folder, keep_preferences, preferences_in
from benchapp.service.errors import DONE


def language(one: Parser) -> None:
    """benchapp language"""
    one.add_argument(
        "language", nargs="?", metavar="CODE", help=tr("what people read and hear from now on, such as de")
    )
    one.add_argument("--record", metavar="CODE", help=tr("what is written down, the record and its labels"))
    runs(one, run_language)


def run_language(args: argparse.Namespace, console: Console) -> int:
    """Chooses, where one is named, and lists them all. Raises LanguageRefused for one that cannot be read."""
    folder = data_folder(args.data)
    chosen = preferences_in(folder)
    if args.language:
        mark = language_of(args.language, folder).decimal
        chosen = replace(chosen, language=args.language, comma=mark == ",")
    if args.record:
        chosen = replace(chosen, record_language=language_of(args.record, folder).code)
    keep_preferences(folder, chosen)
    speak_as_chosen(chosen, folder)
    rows = [
        (
            code,
            NAMES.get(code, ""),
            tr("read and heard") if code == chosen.language else "",
            tr("written down") if code == chosen.record_language else "",
        )
        for code in codes(folder)
    ]
    show(console, ("code", "", "", ""), rows)
    say(console, tr("One of your own is a file CODE.po in {folder}.", folder=folder / OWN))
    return DONE
