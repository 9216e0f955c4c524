"""Pages that hold others, and files that stand alone."""

from __future__ import annotations

from compiler.single import holding, unlinked

OWN = '<body class=""><main id="main"><h1>All</h1></main><p>foot</p></body>'
ONE = (
    '<body class="landscape"><main id="main"><h2 id="top">One</h2><a href="two.html#top">two</a>'
    '<a href="#top">up</a><a href="sheep/x.html">x</a>'
    '<svg aria-labelledby="t d"><path fill="url(#p)"/></svg></main></body>'
)
TWO = '<body class=""><main id="main"><h2 id="top">Two</h2></main></body>'


def test_held_pages_keep_their_places_apart() -> None:
    """Two pages with a place of one name stand in one file; links between them and within them still arrive."""
    html = holding(OWN, "print.html", {"one.html": ONE, "two.html": TWO})
    assert '<article class="held landscape" id="one"><h2 id="one--top">One</h2>' in html
    assert 'id="two--top"' in html
    assert '<a href="#two--top">two</a><a href="#one--top">up</a>' in html
    assert '<a href="sheep/x.html">x</a>' in html
    assert 'aria-labelledby="one--t one--d"' in html
    assert 'fill="url(#one--p)"' in html
    assert html.endswith("</main><p>foot</p></body>")


def test_a_held_page_of_a_folder_is_linked_from_where_it_is_held() -> None:
    """What a page in a folder links to is found from the page that holds it."""
    held = '<body class=""><main><a href="../due.html">due</a></main></body>'
    assert '<a href="due.html">due</a>' in holding(OWN, "print.html", {"sheep/c1.html": held})


def test_a_file_alone_leads_nowhere_else() -> None:
    """A way out becomes words with the same look; a way within the file stays."""
    assert unlinked('<a class="ear-tag" href="sheep/c1.html"><b>C1</b></a>') == '<span class="ear-tag"><b>C1</b></span>'
    assert unlinked('<a href="#one">one</a>') == '<a href="#one">one</a>'
