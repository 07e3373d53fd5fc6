"""Shards in object storage that checks keys: the same reports with the right one, one plain line with any other.

The storage is moto's server on loopback, which holds users, keys and what they may, and checks signatures
(https://docs.getmoto.org, IAM-like access control). Skipped where moto's server or s3fs is not installed.
"""

import json
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest
from conftest import WriteFleet

pytest.importorskip("moto.server")
pytest.importorskip("s3fs")
boto3 = pytest.importorskip("boto3")

AS_OF = "2026-11-25"
REGION = "us-east-1"
# Calls that are free before the storage asks who calls: to make two users with keys, what they may, and the bucket.
FREE_CALLS = 7


class Storage(NamedTuple):
    """The storage's address, a key that may do all in it, and one that may only read."""

    url: str
    key: tuple[str, str]
    reader: tuple[str, str]


@pytest.fixture(scope="module")
def storage() -> Iterator[Storage]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    url = f"http://127.0.0.1:{port}"
    server = subprocess.Popen(
        [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)],
        env=os.environ | {"INITIAL_NO_AUTH_ACTION_COUNT": str(FREE_CALLS)},
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        for _ in range(300):
            with socket.socket() as one:
                if one.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.1)
        anybody = {"endpoint_url": url, "region_name": REGION, "aws_access_key_id": "x", "aws_secret_access_key": "x"}
        users = boto3.client("iam", **anybody)
        keys = [_user(users, name, may) for name, may in (("fleet", "s3:*"), ("reader", "s3:Get*"))]
        boto3.client("s3", **anybody).create_bucket(Bucket="bucket")
        yield Storage(url, *keys)
    finally:
        server.terminate()
        server.wait(30)


def _user(users: "boto3.client", name: str, may: str) -> tuple[str, str]:
    users.create_user(UserName=name)
    statement = {"Effect": "Allow", "Action": [may, "s3:ListBucket"], "Resource": "*"}
    policy = json.dumps({"Version": "2012-10-17", "Statement": [statement]})
    users.put_user_policy(UserName=name, PolicyName="may", PolicyDocument=policy)
    key = users.create_access_key(UserName=name)["AccessKey"]
    return key["AccessKeyId"], key["SecretAccessKey"]


def called(storage: Storage, key: tuple[str, str], *call: object) -> tuple[int, str]:
    """The exit code of a command, and all that it told, with a key in fsspec's settings."""
    done = subprocess.run(
        [sys.executable, "-m", "fleetreport", *map(str, call)], capture_output=True, text=True, check=False,
        env=os.environ | {
            "FSSPEC_S3_KEY": key[0], "FSSPEC_S3_SECRET": key[1], "FSSPEC_S3_ENDPOINT_URL": storage.url,
            "AWS_DEFAULT_REGION": REGION, "PYTHONPATH": os.pathsep.join(sys.path),
        },
    )  # fmt: skip
    return done.returncode, done.stdout + done.stderr


@pytest.fixture
def fleet(write_fleet: WriteFleet) -> Path:
    rows = "".join(f"V{number},van,2025-01-01\n" for number in range(6))
    readings = "".join(f"V{n},2026-{m:02}-0{n + 1},{1000 * m + n}\n" for n in range(6) for m in range(1, 12))
    return write_fleet(
        vehicles=f"vehicle_id,class,in_service_on\n{rows}",
        tasks="class,task,every_distance\nvan,oil,8000\n",
        readings=f"vehicle_id,read_at,reading\n{readings}",
        history="vehicle_id,done_on,task\nV1,2026-03-01,oil\n",
    )


def files_in(out: Path) -> dict[str, bytes]:
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}


def test_the_week_of_shards_in_storage_is_the_week_and_no_key_is_told(
    storage: Storage, fleet: Path, tmp_path: Path
) -> None:
    code, told = called(storage, storage.key, "shard", fleet, "--out", "s3://bucket/fleet", "--shards", 2)
    assert code == 0, told
    call = ("week", "s3://bucket/fleet", "--cluster", "local:2", "--as-of", AS_OF, "--out", tmp_path / "cluster")
    code, said = called(storage, storage.key, *call)
    assert code == 0, said
    assert called(storage, storage.key, "week", fleet, "--as-of", AS_OF, "--out", tmp_path / "one")[0] == 0
    one, other = files_in(tmp_path / "one"), files_in(tmp_path / "cluster")
    assert one.keys() == other.keys()
    assert [name for name in one if one[name] != other[name]] == []
    secret = storage.key[1]
    assert secret not in told + said
    assert [path for path in tmp_path.rglob("*") if path.is_file() and secret.encode() in path.read_bytes()] == []


@pytest.mark.parametrize("whose", ["wrong secret", "unknown key", "may only read"])
def test_a_key_that_may_not_is_told_in_a_line(storage: Storage, fleet: Path, tmp_path: Path, whose: str) -> None:
    key = {
        "wrong secret": (storage.key[0], "S" * 40),
        "unknown key": ("AKIA" + "X" * 16, storage.key[1]),
        "may only read": storage.reader,
    }[whose]
    calls = [("shard", fleet, "--out", "s3://bucket/other", "--shards", 2)]
    if whose != "may only read":
        calls += [("week", "s3://bucket/fleet", "--cluster", "local:1", "--as-of", AS_OF, "--out", tmp_path / "out")]
    for call in calls:
        code, told = called(storage, key, *call)
        assert code == 3, (call[0], told)
        errors = [line for line in told.splitlines() if line.startswith("error: ")]
        assert len(errors) == 1, told
        assert re.match(r"error: s3://bucket/(other|fleet)\b", errors[0]), told
        assert re.search("Forbidden|Access ?Denied|InvalidAccessKeyId|SignatureDoesNotMatch", errors[0], re.IGNORECASE)
        assert "Traceback" not in told
        assert key[1] not in told
    assert not (tmp_path / "out").exists()
