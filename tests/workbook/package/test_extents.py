"""How deep the parts of a package are: the passes over them keep nothing but a count."""

from __future__ import annotations

import pytest

from costing.findings import Place
from costing.workbook.package import extents
from costing.workbook.package.extents import LIMITS, Limits, Scan
from costing.workbook.package.refusals import Refused


def scan(xml: str) -> None:
    Scan("xl/worksheets/sheet1.xml", LIMITS, Place()).read([xml.encode()])


@pytest.mark.parametrize("settle", [extents.SETTLE, 3, 0])
@pytest.mark.parametrize("beside", [0, 2, 20])
def test_scan__elements_stand_inside_each_other_256_times_at_most(
    settle: int, beside: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Law: what was closed before does not count, however often the counts were settled."""
    monkeypatch.setattr(extents, "SETTLE", settle)
    for closed in ("<b/>" * beside, "<b><c/></b>" * beside):
        inside = "<d>" * 255 + closed + "</d>" * 255
        scan(f"<a>{closed}{closed}</a>")
        scan(f"<a>{closed}{'<d>' * 255 + '</d>' * 255}{closed}</a>")
        with pytest.raises(Refused) as caught:
            scan(f"<a>{closed}<e>{inside}</e></a>")
        assert "256" in str(caught.value.finding)


@pytest.mark.watched("a workbook that was let in once is let in ever after: no limit may sink")
def test_limits__are_those_of_before() -> None:
    assert (
        Limits(
            file_bytes=52_428_800,
            parts=20_000,
            unpacked_bytes=536_870_912,
            ratio=250,
            ratio_above=1_048_576,
            depth=256,
            cells=5_000_000,
            merges=50_000,
            covered_cells=2_000_000,
        )
        == LIMITS
    )
    assert (extents.LONGEST_TAG, extents.BLANK_ROWS) == (8_388_608, 1_000)
