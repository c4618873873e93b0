"""What leaves the house."""

from chanterd.engraving.press import sheet_pdf, sheet_svg
from chanterd.engraving.sheet import make_sheet
from tests.engraving.example_drills import parsed


def test_each_svg_page_is_complete() -> None:
    """Well-formed, in the namespace that a browser asks for, without anything from elsewhere."""
    pages = sheet_svg(make_sheet(["birl"], title="Taps & <birls>"))
    assert pages
    for page in pages:
        root = parsed(page)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert not [one for one in root.iter() if "href" in " ".join(one.attrib)]


def test_the_same_sheet_gives_the_same_bytes() -> None:
    """A PDF holds no time of day and no chance."""
    sheet = make_sheet(["birl from E"])
    assert sheet_pdf(sheet) == sheet_pdf(sheet)
    assert sheet_pdf(sheet).startswith(b"%PDF-")


def test_progress_goes_up_to_the_end() -> None:
    """Engraving is the first half, printing the second; the last report is that all is done."""
    reports: list[tuple[int, int]] = []
    sheet_pdf(make_sheet(["birl"]), lambda done, of: reports.append((done, of)))
    assert [done for done, _ in reports] == sorted(done for done, _ in reports)
    assert reports[-1][0] == reports[-1][1]
    assert len({of for _, of in reports}) == 1
