"""Starts Bradawl when its user signs in to the machine: a user unit of systemd.

systemd.unit(5), systemd.service(5): a unit below `~/.config/systemd/user` belongs to one user, and
a link in `default.target.wants` is what enabling it makes.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from bradawl.language import text

UNIT = "bradawl.service"
#: A session that does not answer must not keep the command.
PATIENCE_S = 30


def is_possible() -> bool:
    """Whether this machine starts its users' programs by systemd."""
    return sys.platform.startswith("linux") and shutil.which("systemctl") is not None


def unit_file() -> Path:
    place = os.environ.get("XDG_CONFIG_HOME")
    folder = Path(place) if place else Path.home() / ".config"
    return folder / "systemd" / "user" / UNIT


def is_on() -> bool:
    return _link().is_symlink()


def turn_on(command: Sequence[str], environment: dict[str, str]) -> str:
    """Write and enable the unit, and start it now. Raises OSError.

    Returns "" or why it could not be started now; at the next sign-in it will be all the same.
    """
    file, link = unit_file(), _link()
    link.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(unit(command, environment))
    link.unlink(missing_ok=True)
    link.symlink_to(Path("..") / UNIT)
    return _systemctl("daemon-reload") or _systemctl("restart", UNIT)


def turn_off() -> str:
    """Stop it and remove what `turn_on` wrote; "" or why it could not be stopped now."""
    problem = _systemctl("stop", UNIT)
    _link().unlink(missing_ok=True)
    unit_file().unlink(missing_ok=True)
    return problem or _systemctl("daemon-reload")


def unit(command: Sequence[str], environment: dict[str, str]) -> str:
    """The unit's text."""
    settings = [f"Environment={_quoted(f'{name}={value}')}" for name, value in environment.items()]
    started = " ".join(_quoted(part).replace("$", "$$") for part in command)
    lines = [
        *("[Unit]", f"Description={text('cli-autostart-unit')}", ""),
        *("[Service]", f"ExecStart={started}"),
        *settings,
        *("Restart=on-failure", "RestartSec=10", ""),
        *("[Install]", "WantedBy=default.target", ""),
    ]
    return "\n".join(lines)


def _quoted(part: str) -> str:
    """As systemd.syntax(7) reads it back: quotes, and no specifiers."""
    for sign, written in (("\\", "\\\\"), ('"', '\\"'), ("%", "%%"), ("\n", "\\n")):
        part = part.replace(sign, written)
    return f'"{part}"'


def _link() -> Path:
    return unit_file().parent / "default.target.wants" / UNIT


def _systemctl(*arguments: str) -> str:
    """What it said, where it failed."""
    try:
        done = subprocess.run(
            ["systemctl", "--user", *arguments],
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
            check=False,
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        return str(error)
    return "" if done.returncode == 0 else done.stderr.strip() or f"systemctl: {done.returncode}"
