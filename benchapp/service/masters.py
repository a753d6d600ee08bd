"""Versions of a procedure: which one is approved, what the next one changes, and who approves it for batches that leave."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.masters import Master, current, versions_in
from benchapp.service.errors import CommandError
from benchapp.service.market import law_in
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed
from benchapp.service.wording import NOT_APPROVED

if TYPE_CHECKING:  # no other command at the desk has to load the procedures for these
    from procedures.model import Procedure


#: So many characters of a text's hash are shown.
SHA_SHOWN = 12
#: So many changes are said, and how many more there are.
CHANGES_SHOWN = 3


class Masters(Matter):
    """The masters of the workshop's procedures. Existing batches keep the version they were made by."""

    def approve_master(self, procedure: Procedure, reason: str, by: str, pin: Pin, trial: str = "") -> str:
        """Approve a procedure as it stands, signed by a releaser; ``trial`` names the batch that showed it.

        Raises CommandError where that text is approved already, where its rules or the law speak against it, and for
        the second and later versions without a reason.
        """
        versions = versions_in(self.journal, procedure.key)
        now = current(versions)
        if now is not None and now.sha256 == procedure.sha256:
            raise CommandError(
                tr(
                    "Version {version} of {key} is this text; it is approved already.",
                    version=now.version,
                    key=procedure.key,
                )
            )
        if versions and not reason.strip():
            raise CommandError(
                tr(
                    "Say why {key} is changed: --reason. {in_short}",
                    key=procedure.key,
                    in_short=_changed(versions[-1].text, procedure.text),
                )
            )
        against = self._against(procedure)
        if against:
            raise CommandError("\n".join((tr("{key} cannot be approved:", key=procedure.key), *against)))
        who = signed(self.journal, by, pin, "releaser").who
        approved = ev.MasterApproved(
            at_s=0.0, procedure=procedure.key, version=max((one.version for one in versions), default=0) + 1, sha256=procedure.sha256,
            text=procedure.text, reason=reason.strip(), by=who, trial=trial,
        )  # fmt: skip
        self.records.add(approved)
        return tr(
            "Version {version} of {key} is approved by {who}. Batches made by it may be released.",
            version=approved.version,
            key=procedure.key,
            who=who,
        )

    def approve_trial(self, batch: str, reason: str, by: str, pin: Pin) -> str:
        """Approve the version a finished trial was made by, as it stood then. The trial itself stays a trial."""
        started = self.journal.started(self.journal.batch(batch).batch)
        if started is None or started.version != ev.TRIAL:
            raise CommandError(
                tr("{batch} is no trial. Approve a procedure by its name or file.", batch=batch)
            )
        if self.journal.batch(batch).end != "finished":
            raise CommandError(
                tr("The trial {batch} is not finished: it has shown nothing yet.", batch=batch)
            )
        from procedures.reading import read_text

        text, key = started.procedure_text, started.procedure
        return self.approve_master(read_text(text, f"{key}.toml").procedure, reason, by, pin, batch)

    def withdraw_master(self, procedure: str, reason: str, by: str, pin: Pin) -> str:
        """From now on nothing that leaves is made by a procedure's version; older versions do not come back."""
        now = current(versions_in(self.journal, procedure))
        if now is None:
            raise CommandError(
                tr(
                    "No version of {procedure} is approved: there is nothing to withdraw.",
                    procedure=procedure,
                )
            )
        if not reason.strip():
            raise CommandError(tr("Say why it is withdrawn: --reason."))
        who = signed(self.journal, by, pin, "releaser").who
        self.records.add(
            ev.MasterWithdrawn(
                at_s=0.0, procedure=procedure, version=now.version, reason=reason.strip(), by=who
            )
        )
        return tr(
            "Version {version} of {procedure} is withdrawn. What is made from now on is a trial.",
            version=now.version,
            procedure=procedure,
        )

    def version_words(self, procedure: Procedure) -> str:
        """Which version a procedure's text is, or that nobody approved it."""
        now = current(versions_in(self.journal, procedure.key))
        if now is None or now.sha256 != procedure.sha256:
            return NOT_APPROVED
        return tr(
            "Version {version}, approved by {by} on {approved}.",
            version=now.version,
            by=now.by,
            approved=now.approved[:10],
        )

    def change_words(self, procedure: Procedure) -> str:
        """What a text changes against the last version that was approved; "" where none ever was."""
        versions = versions_in(self.journal, procedure.key)
        if not versions:
            return ""
        last = versions[-1]
        return tr(
            "Against version {version}: {in_short}",
            version=last.version,
            in_short=_changed(last.text, procedure.text),
        )

    def versions(self, procedure: str) -> Sheet:
        """Every approved version, the newest first."""
        found = versions_in(self.journal, procedure)
        rows = tuple(
            (str(m.version), m.approved[:10], m.by, _why(m), m.sha256[:SHA_SHOWN]) for m in reversed(found)
        )
        head = () if found else (tr("No version of {procedure} is approved.", procedure=procedure),)
        return Sheet(head, ("version", "approved", "by", "why", "SHA-256"), rows)

    def compared(self, one: str, other: str) -> Sheet:
        """Two versions side by side; each a name or file as it stands now, ``NAME@2`` or a batch."""
        from procedures.comparison import changes

        found = changes(self._text(one), self._text(other))
        rows = tuple((c.where, c.field, c.before or "-", c.after or "-") for c in found)
        return Sheet(() if rows else (tr("They are the same."),), ("where", "what", one, other), rows)

    def _text(self, named: str) -> str:
        name, at, number = named.rpartition("@")
        if at:
            return self._version_text(name, number)
        made = self.journal.started(named)
        return self.procedure_named(named).text if made is None else made.procedure_text

    def _version_text(self, name: str, number: str) -> str:
        """The text of a version by its number, or by the beginning of its SHA-256 where two benches approved one at once."""
        found = {
            m.sha256: m
            for m in versions_in(self.journal, name)
            if str(m.version) == number or (len(number) >= SHA_SHOWN and m.sha256.startswith(number))
        }
        if not found:
            raise CommandError(
                tr(
                    "There is no version {number} of {name}. See: benchapp master list {name}.",
                    number=number,
                    name=name,
                )
            )
        if len(found) > 1:
            raise CommandError(
                tr(
                    "Version {number} of {name} was approved in different words on benches that did not know of each other. Say which: "
                    "{names}.",
                    number=number,
                    name=name,
                    names=" or ".join(f"{name}@{sha[:SHA_SHOWN]}" for sha in found),
                )
            )
        return next(iter(found.values())).text

    def _against(self, procedure: Procedure) -> tuple[str, ...]:
        """The rules and the law, asked again: what is approved is what may leave."""
        from benchapp.make.law import law_in_short
        from procedures.errors import ProcedureError
        from procedures.reading import read_text

        try:
            read_text(procedure.text, f"{procedure.key}.toml")
        except ProcedureError as error:
            return tuple(str(error).splitlines())
        *passed, _ = law_in_short(procedure, law_in(self.journal.path.parent))
        return tuple(passed)


def _why(master: Master) -> str:
    parts = (master.reason, tr("shown by {trial}", trial=master.trial) if master.trial else "",
             tr("withdrawn: {withdrawn}", withdrawn=master.withdrawn) if master.withdrawn else "")  # fmt: skip
    return "; ".join(part for part in parts if part)


def _changed(before: str, after: str) -> str:
    """The first changes in one sentence, and how many more there are."""
    from procedures.comparison import changes

    found, most = changes(before, after), CHANGES_SHOWN
    if not found:
        return tr("only notes and spaces differ.")
    said = [
        " ".join(
            p
            for p in (
                c.where,
                c.field,
                tr("{before} to {after}", before=c.before or tr("nothing"), after=c.after or tr("nothing")),
            )
            if p
        )
        for c in found[:most]
    ]
    more = tr(" and {count} more", count=len(found) - most) if len(found) > most else ""
    return "; ".join(said) + more + "."
