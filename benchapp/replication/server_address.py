"""Where the workshop's server is: a PostgreSQL URL or connection string, without a password and, beyond this machine,
never without a checked certificate."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from psycopg import ProgrammingError
from psycopg.conninfo import conninfo_to_dict, make_conninfo

from benchapp.foundation.language import tr
from benchapp.replication.errors import ServerRefuses

#: How long to wait for an answer of each host, in seconds, and what finds a dead line within five (measured together;
#: one of them alone does not).
LINE: dict[str, Any] = {
    "connect_timeout": 5,
    "tcp_user_timeout": 4000,
    "keepalives_idle": 2,
    "keepalives_interval": 1,
    "keepalives_count": 3,
    "application_name": "benchapp",
}
#: Where an address, and the environment, name hosts; and those that are this machine.
HOSTS = ("host", "hostaddr")
HERE = ("127.0.0.1", "::1", "localhost")
CHECKED = "verify-full"
_PASSWORD = re.compile(r"//[^/@]*:[^/@]*@|\bpassword\s*=|\bsslpassword\s*=", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class ServerAddress:
    """An address as it was given, and as it is connected to."""

    given: str
    conninfo: str


def server_address(given: str) -> ServerAddress:
    """Read a URL (``postgresql://bench@host/database``) or ``service=name``. Raises ServerRefuses with the sentence why
    it will not do; a password is never repeated in it."""
    if _PASSWORD.search(given) or os.environ.get("PGPASSWORD"):
        raise ServerRefuses(
            tr(
                "A password does not belong in an address or in the environment, where others can "
                "read it. Put it into the password file (~/.pgpass, rights 0600) and leave it out "
                "here."
            )
        )
    try:
        parts: dict[str, Any] = conninfo_to_dict(given)
    except ProgrammingError as error:
        raise ServerRefuses(
            tr("That is no address of a server. Write postgresql://BENCH@HOST/DATABASE or service=NAME.")
        ) from error
    if not given.strip():
        raise ServerRefuses(tr("Say where the server is: postgresql://BENCH@HOST/DATABASE or service=NAME."))
    hosts = _hosts(parts) or _hosts({key: os.environ.get(f"PG{key.upper()}") for key in HOSTS})
    elsewhere = not _all_here(hosts) or "service" in parts or "PGSERVICE" in os.environ
    if elsewhere and parts.setdefault("sslmode", CHECKED) != CHECKED:
        raise ServerRefuses(
            tr(
                "Beyond this machine the server's certificate is checked: leave sslmode={sslmode} "
                "out, and name the workshop's own authority with sslrootcert=FILE.",
                sslmode=parts["sslmode"],
            )
        )
    if len(hosts) > 1:
        parts.setdefault("target_session_attrs", "read-write")
    return ServerAddress(given, make_conninfo("", **(LINE | parts)))


def _hosts(parts: Mapping[str, Any]) -> list[str]:
    return [host for key in HOSTS for host in str(parts.get(key) or "").split(",") if host]


def _all_here(hosts: list[str]) -> bool:
    """Whether every host is this machine, or a socket on it."""
    return all(host in HERE or host.startswith(("/", "@")) for host in hosts)
