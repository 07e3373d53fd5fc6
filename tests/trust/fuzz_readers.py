"""Coverage-guided fuzzing of the readers and the settings with Atheris (the extra `fuzz`).

    PYTHONPATH=tests/trust python tests/trust/fuzz_readers.py KIND CORPUS -max_total_time=600

KIND is one of `csv`, `tsv`, `json lines`, `gzip`, `parquet`, `workbook`, `settings`, `described`; further arguments are
libFuzzer's. Each input is written into a fleet folder and taken the way a run takes it (hostile_files.py): anything but
a message for a person is a finding, as is an input that takes longer than 20 s or more than 2 GiB. The inside of packed
formats is fuzzed, not the packing alone: the bytes become the text of a gzip file and the sheet of a workbook on every
other turn.
"""

import gzip
import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["fleetreport"]):
    import hostile_files
    from fuzz_seeds import seeds, workbook_of


def main() -> None:
    kind, corpus, *arguments = sys.argv[1:]
    Path(corpus).mkdir(parents=True, exist_ok=True)
    for number, seed in enumerate(seeds(kind)):
        (Path(corpus) / f"seed{number}").write_bytes(seed)
    with hostile_files.a_folder() as folder:
        turn = 0

        def try_one(data: bytes) -> None:
            nonlocal turn
            turn += 1
            if kind == "gzip" and data[:2] != b"\x1f\x8b":
                data = gzip.compress(data, 1, mtime=0)
            if kind == "workbook" and data[:2] != b"PK":
                data = workbook_of(data)
            folder.try_file(kind, data, whole=False)

        atheris.Setup([sys.argv[0], corpus, "-timeout=20", "-rss_limit_mb=2048", *arguments], try_one)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
