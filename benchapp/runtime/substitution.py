"""What a batch was made with instead: an ingredient of its procedure replaced by another, and who answers for it."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.foundation.language import tr


@dataclass(frozen=True, slots=True)
class Substitution:
    """``new`` went in where the procedure says ``old``; ``master_sha256`` is the hash of the procedure as it was approved.
    ``proof`` is "pin" where ``by`` proved who they are."""

    old: str
    new: str
    master_sha256: str
    reason: str = ""
    by: str = ""
    proof: str = ""

    @property
    def words(self) -> str:
        """What was replaced, by what."""
        return tr("{new} in place of {old}", new=self.new, old=self.old)
