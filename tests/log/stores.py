"""The large stores for the tests: Debian's PostgreSQL and an S3 server, both on this machine."""

from __future__ import annotations

import hashlib
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import create_engine, make_url, text

BUCKET = "bradawl-photos"
TEMPLATE = "migrated"


def _program(name: str) -> str:
    for folder in sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True):
        if (folder / name).is_file():
            return str(folder / name)
    found = shutil.which(name)
    if found is None:
        raise FileNotFoundError(
            f"{name} is missing. The tests of PostgreSQL need Debian's package `postgresql`; "
            "`make system` installs it."
        )
    return found


def _as_postgres(*command: str) -> list[str]:
    """PostgreSQL will not run as root."""
    return ["runuser", "-u", "postgres", "--", *command] if os.getuid() == 0 else list(command)


@contextmanager
def postgres() -> Iterator[str]:
    """The URL of a new PostgreSQL cluster that ends with the block; no port, a socket only."""
    with tempfile.TemporaryDirectory() as folder:
        if os.getuid() == 0:
            os.chown(folder, pwd.getpwnam("postgres").pw_uid, -1)
        data = f"{folder}/data"
        quiet = {"check": True, "stdout": subprocess.DEVNULL, "cwd": "/"}
        subprocess.run(
            _as_postgres(
                _program("initdb"), "-D", data, "-U", "bradawl", "-A", "trust", "-E", "UTF8"
            ),
            **quiet,
        )  # type: ignore[call-overload]
        control = _as_postgres(_program("pg_ctl"), "-D", data, "-w", "-l", f"{folder}/log")
        # No power is cut here, and every test has a database of its own: the disk need not keep up.
        options = f"-k {folder} -c listen_addresses='' -c max_connections=300 -c fsync=off "
        options += "-c full_page_writes=off -c synchronous_commit=off -c autovacuum=off"
        subprocess.run([*control, "-o", options, "start"], **quiet)  # type: ignore[call-overload]
        try:
            yield f"postgresql+psycopg://bradawl@/postgres?host={folder}"
        finally:
            subprocess.run([*control, "-m", "immediate", "stop"], **quiet)  # type: ignore[call-overload]


def database_for(cluster: str, folder: Path) -> str:
    """The URL of `folder`'s own database on the cluster, made when it is asked for first."""
    from bradawl.database.connection import migrate, open_engine

    name = "t" + hashlib.sha256(str(folder).encode()).hexdigest()[:20]
    engine = create_engine(cluster, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        there = {row[0] for row in connection.execute(text("SELECT datname FROM pg_database"))}
        if TEMPLATE not in there:
            connection.execute(text(f"CREATE DATABASE {TEMPLATE}"))
            template = open_engine(_url(cluster, TEMPLATE))
            migrate(template)
            template.dispose()
        if name not in there:
            connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {TEMPLATE}"))
    engine.dispose()
    return _url(cluster, name)


def _url(cluster: str, name: str) -> str:
    return make_url(cluster).set(database=name).render_as_string(hide_password=False)


@contextmanager
def s3() -> Iterator[Mapping[str, str]]:
    """The environment variables under which boto3 finds a new S3 server with an empty bucket."""
    import boto3
    from moto.server import ThreadedMotoServer

    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    environment = {
        "AWS_ENDPOINT_URL_S3": f"http://{host}:{port}",
        "AWS_ACCESS_KEY_ID": "test",
        "AWS_SECRET_ACCESS_KEY": "test",
        "AWS_DEFAULT_REGION": "eu-central-1",
    }
    before = {key: os.environ.get(key) for key in environment}
    os.environ.update(environment)
    try:
        boto3.client("s3").create_bucket(
            Bucket=BUCKET, CreateBucketConfiguration={"LocationConstraint": "eu-central-1"}
        )
        yield environment
    finally:
        for key, value in before.items():
            if value is None:
                os.environ.pop(key, None)
            else:
                os.environ[key] = value
        server.stop()
