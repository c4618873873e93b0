"""The report as a PDF, read back by another library (pypdfium2)."""

from dataclasses import replace

import pypdfium2
import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.paper import PAPERS
from chanterd.history.answers import Span
from chanterd.history.players import Player
from chanterd.history.store import Store
from chanterd.judging.standard import read_standards
from chanterd.progress.paper import report_pdf
from chanterd.progress.report import Report, report_of

POINTS_A_MM = 72 / 25.4


@pytest.fixture
def report(store: Store, ailsa: Player) -> Report:
    """A month of simulated practice."""
    with store.reading() as connection:
        return report_of(connection, ailsa, Span("2026-03-01", "2026-03-31"), read_standards(), 3)


def read(pdf: bytes) -> list[str]:
    """The text of each page."""
    document = pypdfium2.PdfDocument(pdf)
    texts = [document[number].get_textpage().get_text_bounded() for number in range(len(document))]
    document.close()
    return texts


def test_everything_that_is_said_is_on_the_page(report: Report) -> None:
    """Headings, sentences, cells and small print; lines may break anywhere."""
    text = " ".join(" ".join(read(report_pdf(report, PAPERS["a4"]))).split())
    for section in report.sections:
        assert section.heading in text
        for sentence in section.said:
            assert sentence in text
        for cell in (cell for row in (section.table.rows if section.table else ()) for cell in row):
            assert cell in text
    assert all(note in text for note in report.notes)
    assert "Ailsa, 1 March to 31 March 2026" in text


@pytest.mark.parametrize("name", PAPERS)
def test_the_paper_is_the_chosen_size(report: Report, name: str) -> None:
    """A4 or Letter, upright, to a tenth of a millimetre."""
    document = pypdfium2.PdfDocument(report_pdf(report, PAPERS[name]))
    size = document[0].get_size()
    document.close()
    paper = PAPERS[name]
    assert size == pytest.approx((paper.width * POINTS_A_MM, paper.height * POINTS_A_MM), abs=0.1 * POINTS_A_MM)


def test_the_same_report_is_the_same_file(report: Report) -> None:
    """No date of making in it."""
    assert report_pdf(report, PAPERS["a4"]) == report_pdf(report, PAPERS["a4"])


def test_a_name_is_text_and_never_markup(report: Report) -> None:
    """A player may be called '<b>&'."""
    [first, *_] = read(report_pdf(replace(report, name="<b>&"), PAPERS["a4"]))
    assert "<b>&, 1 March" in first


@pytest.mark.usefixtures("dejavu")
def test_letters_that_the_standard_fonts_lack_are_printed_all_the_same(report: Report) -> None:
    """A Polish name, at the head and the foot of the page, and a teacher's own ornament among what was practised."""
    what = report.sections[1]
    assert what.table is not None
    own = replace(what.table, rows=(("przednutka ćwiczebna from B", *what.table.rows[0][1:]), *what.table.rows))
    sections = (report.sections[0], replace(what, table=own), *report.sections[2:])
    made = " ".join(read(report_pdf(replace(report, name="Łucja <b>", sections=sections), PAPERS["a4"])))
    assert made.count("Łucja <b>, 1 March") >= 2
    assert "przednutka ćwiczebna from B" in " ".join(made.split())


@pytest.mark.usefixtures("font_folder")
def test_a_name_that_no_font_has_is_refused_with_a_way_out(report: Report) -> None:
    """The page can print it."""
    with pytest.raises(ChanterdError, match=r"'Ł' in 'Łucja'.* print the report from the page"):
        report_pdf(replace(report, name="Łucja"), PAPERS["a4"])


def test_no_days_no_picture(report: Report) -> None:
    """A report without practice is one short page."""
    empty = replace(report, practice=(), sections=report.sections[:1])
    assert len(read(report_pdf(empty, PAPERS["a4"]))) == 1
