"""What the status page shows of the log."""

import logging

from chanterd.serving.log_buffer import Logbook


def logged(book: Logbook, *lines: str) -> None:
    """Log lines through a logger that has the logbook as its handler."""
    logger = logging.getLogger("tests.logbook")
    logger.addHandler(book)
    logger.setLevel(logging.DEBUG)
    try:
        for line in lines:
            logger.info(line)
        logger.debug("too fine to be kept")
    finally:
        logger.removeHandler(book)


def test_the_oldest_line_goes_when_there_is_no_room() -> None:
    """The log of weeks takes no more memory than that of an evening."""
    book = Logbook(most=2)
    logged(book, "one", "two", "three")
    assert [line.split()[-1] for line in book.lines] == ["two", "three"]


def test_a_line_says_when_and_how_serious() -> None:
    """As in the terminal: day, time, level, what happened."""
    book = Logbook()
    logged(book, "A page came; 1 now.")
    day, _, level, what = book.lines[0].split(" ", 3)
    assert (len(day), level, what) == (10, "INFO", "A page came; 1 now.")
