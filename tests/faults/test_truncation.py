"""A file cut at every byte: the whole lines are kept exactly, and the session goes on."""

from __future__ import annotations

import pytest

from studio.store.copies import judge, verify
from studio.store.reading import read_session, read_text
from studio.store.repair import prepare_to_resume


def test_every_cut_keeps_the_whole_lines_exactly(thirty, tmp_path, sampled):
    raw, records = thirty
    ends = [i + 1 for i in range(len(raw)) if raw[i : i + 2] == b"}\n"]
    around = {end + near for end in ends for near in (-2, -1, 0, 1) if end + near <= len(raw)}
    for cut in sorted({*sampled(range(len(raw) + 1), 11), *around}):
        kept = sum(1 for end in ends if end <= cut)
        reading = read_text(tmp_path / "x.jsonl", raw[:cut])
        assert list(reading.records) == records[:kept], cut
        if kept == 0:
            assert reading.state == "damaged"
        elif cut in (0, *(end + 1 for end in ends)):
            assert reading.state == "clean"
        else:
            assert reading.state == "open tail"
            assert judge(reading).exit_code == 1


@pytest.mark.parametrize("share", [0.3, 0.37, 0.5, 0.71, 0.93, 0.9999])
def test_a_cut_file_is_set_aside_and_goes_on(thirty, tmp_path, at, share):
    raw, _ = thirty
    path = tmp_path / "20261125-1004-tidewrack-stripes-9f3a.jsonl"
    cut = int(len(raw) * share)
    path.write_bytes(raw[:cut])
    kept = list(read_session(path).records)
    with prepare_to_resume(path, at(100)) as journal:
        new = [journal.append("noted", {"text": "on", "step": ""}, at(101))] if not journal.finished else []
    (copy,) = tmp_path.glob("*.damaged-*.jsonl")
    assert copy.read_bytes() == raw[:cut]
    assert path.read_bytes().startswith(raw[:cut])
    reading = read_session(path)
    recovered = reading.records[len(kept)]
    assert (recovered.kind, recovered.data["copy"]) == ("recovered", copy.name)
    assert recovered.data["offset"] + recovered.data["length"] == cut
    assert [*kept, recovered, *new] == list(reading.records)
    assert reading.state in ("repaired", "clean")
    assert verify(path).exit_code in (0, 1)
    with prepare_to_resume(path, at(102)):
        pass
    assert len(list(tmp_path.iterdir())) == 2
