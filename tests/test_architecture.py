"""The house rules of the code, held by a machine: who may import whom, sizes, types, and what a start may cost."""

from __future__ import annotations

import ast
import re
import statistics
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILES = sorted(path for package in ("compiler", "flockbook") for path in (ROOT / package).rglob("*.py"))
MODULES = {path: ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__") for path in FILES}
THEMES = sorted(path for ending in ("*.html", "*.js") for path in (ROOT / "themes").rglob(ending))
CALLED_BY_LIBRARIES = {"list_commands", "get_command", "format_commands"}  # click asks a group of commands for these
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))

# The storeys of `flockbook`, from the ground up: a part imports only parts of lower storeys.
FLOORS = (
    ("trade", "country_codes", "manner", "measures"),
    ("regional", "law"),
    ("records", "naming", "factors", "heritabilities", "figures", "targets"),
    ("flock", "settings", "corrections", "two_words"),
    ("settings_doubts",),
    ("settings_text",),
    ("roll", "settings_reading"),
    ("rewrites",),
    ("sequence", "whom"),
    ("linking",),
    ("derive", "private"),
    ("saying",),
    ("seen",),
    ("jotting",),
    ("checks", "pages", "handover"),
    ("gathering",),
    ("book",),
    ("cli",),
    ("__main__",),
)
# The wings of `derive` and of `pages`, in one order: a wing imports only wings to its left. A page of one sheep
# draws on most wings and so stands further right; `chart` and `telling` are what all pages are made of.
WINGS = {
    "derive": (
        "plain", "breeding", "weights", "lambing", "season", "medicine", "health", "farm", "growth", "family",
        "choosing", "land", "market", "year",
    ),
    "pages": (
        "chart", "telling", "breeding", "lambing", "season", "medicine", "health", "farm", "growth", "choosing",
        "sheep", "market", "today",
    ),
}  # fmt: skip
# The rooms that stand in no wing: below all wings, each knowing only those before it; and above them all.
BELOW = {"derive": (), "pages": ("wording", "views", "sections", "long_tables", "stamp")}
ABOVE = {"derive": ("facts",), "pages": ("contents",)}
# The storeys of `compiler`, from the ground up: a module imports only modules of lower storeys.
STOREYS = (
    ("shape", "home", "horizon"),
    (
        "source",
        "filenames",
        "quotes",
        "pages",
        "viewtypes",
        "nearness",
        "prose",
        "store",
        "codestore",
        "crew",
        "lock",
        "families",
        "outlines",
        "moment",
        "renewal",
        "history",
    ),
    ("finished",),
    ("watching",),
    ("diagnostics", "cures", "remarks", "output", "printing", "single"),
    ("schema", "frontmatter", "faults", "report", "expressions", "serving", "outfile"),
    ("describe", "names", "notes", "written", "templatecode", "parts"),
    ("datalines", "dates", "amounts", "traces", "copies", "functions", "misnamed"),
    ("scores",),
    ("words", "templates", "leftovers"),
    ("values", "templatewalk"),
    ("templatecheck", "fields"),
    ("decode",),
    ("collection",),
    ("folder",),
    ("memory", "recollection"),
    ("pictures",),
    ("book",),
    ("shares",),
    ("binding",),
    ("build", "epub"),
)
PURE = (
    "records",
    "flock",
    "corrections",
    "roll",
    "sequence",
    "whom",
    "linking",
    "derive",
    "saying",
    "seen",
    "checks",
)  # what they give follows from what they are given
OUTSIDE = {
    "os",
    "io",
    "pathlib",
    "shutil",
    "tempfile",
    "time",
    "random",
    "socket",
    "subprocess",
    "sqlite3",
    "urllib.request",
}
LAZY = {"jinja2", "markdown_it", "numpy", "scipy", "plotly", "watchdog", "icalendar", "segno", "PIL", "yaml"}
LAZY |= {"python_calamine"}
ONLY_IN_TESTS = {"statsmodels", "lifelines", "networkx", "pandas", "hypothesis", "pytest", "tests"}
CLOCK = {("datetime", "now"), ("datetime", "today"), ("datetime", "utcnow"), ("date", "today"), ("time", "time")}
# The classes that change while they work, and so are dataclasses and no values.
WORKING = {
    "compiler.build.Clock",
    "compiler.folder.Listing",
    "compiler.output.Output",
    "compiler.templatewalk.Parsed",
    "flockbook.roll.Draft",
    "flockbook.whom.judging.Verdict",
    "flockbook.whom.lexicon.Lexicon",
    "flockbook.whom.line_reading.Group",
    "flockbook.whom.line_reading.LineRead",
}
# The names that every module of a sort has, each with its one meaning; any other name stands in one module alone.
OF_A_SORT = {
    "__all__",  # what a module hands on of others
    "KINDS",  # the kinds of note of a family
    "RULES",  # the rules whose messages a module raises
    "CHECKS",  # the checks of a family
    "read", "read_row",  # a line, and a row of a table, of one grammar
    "is_plain",  # whether a line without a dash surely is one of that grammar
    "command",  # what a command of the command line does
    "PAGES", "NAVIGATION", "make",  # the page makers of a module, its entries in the navigation, and the maker
    "PATH", "TITLE", "SECTION",  # where a page stands, its heading, and the part of the book that it belongs to
    "view_of",  # the making of what a page shows
    "SAID",  # by reason the words of it
    "lead", "CAUTION", "PRINTED_RULES",  # a page's first words, its warning, and the rules printed at its foot
    "PER_PAGE", "ROOM",  # how many rows, or elements, one page of a long table holds
}  # fmt: skip
# The wings of `derive` that say nothing to a shepherd: their reasons are figures, days and names, worded in `saying`.
WORDED_ABOVE = ("medicine", "health", "market")
# What may stand as words below: the texts of rules and their cures, which the page of workings and the lists print from
# beside the rule, and words that people write, which are read and never said.
TEXTS_OF_RULES = {
    "UNTIL_WHEN", "CURES", "IN_THE_PROBLEMS", "NO_MEDICINE", "CASE_LAMBING_RULE", "GATE_RULE", "FITNESS_RULE",
}  # fmt: skip
WORDS_READ = {"ALSO", "_SOLD", "UNDER_THE_REGULATION", "BADLY", "SLIGHTLY"}
TAGS_OF_TWO_WORDS = {
    "under minimum",
    "under age",
    "off rate",
    "low resistant",
    "egg count",
}  # kinds, told apart by them
TWO_WORDS, ONE_WORD = re.compile(r"[A-Za-z][,;:.]? [A-Za-z]{2,}"), re.compile(r"[A-Za-z]{2,}")
# Modules above 350 lines.
LONG_STILL = {
    "flockbook/linking.py",
}
NOT_NOUNS = re.compile(r"(^|_)(utils?|helpers?|managers?|misc|common|stuff|tools?)(_|$)")
# Words of keeping sheep and of medicine. Left out are words that also belong to notes, files and pages: `tag` (of HTML,
# YAML and pictures), `head`, `field`, `scan`, `score`, `season`, `label`, `crop`, `kill`, `weight`, `temperature`.
OF_THE_TRADE = re.compile(
    r"\b("
    r"ewes?|rams?|lambs?|lamb(ed|ing|ings)|sheep|flocks?|shepherds?|wethers?|gimmers?|hoggs?|hoggets?|tegs?|mobs?|tups?|"
    r"tupping|shearlings?|yearlings?|weaners?|joinings?|animals?|livestock|herds?|cattle|cows?|goats?|farm\w*|"
    r"withdrawals?|doses?|dos(ed|ing|age)|medic\w+|drugs?|vets?|veterinar\w+|vaccin\w+|drench\w*|boosters?|"
    r"worm(s|ed|ing|er|ers)?|eggs?|faecal|minerals?|copper|selenium|glucose|iodine|ketones?|fevers?|lame\w*|ho(of|oves)|"
    r"milk\w*|meat|slaughter\w*|abattoirs?|carcas\w+|wool|fleeces?|shear\w*|cull\w*|per head|"
    r"hay|forage|fodder|graz\w+|grass\w*|paddocks?|pastures?|acreage|wean\w*|ear ?tags?|eids?|udders?|teats?|colostrum|"
    r"dams?|sires?|sired|bre(d|eds?|eding|eders?)|pregnan\w+|gestation\w*|mat(ed|ing|ings)|oestrus|foster\w*|orphans?|"
    r"litters?|stillb\w+|births?|born|newborns?|pedigrees?|inbre\w+|ancestors?"
    r")\b",
    re.I,
)
BLOCKS = (ast.If, ast.For, ast.While, ast.With, ast.Try, ast.Match)
Function = ast.FunctionDef | ast.AsyncFunctionDef


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"), str(path))


@cache
def functions() -> tuple[tuple[str, Function], ...]:
    """Every function with its place."""
    found = []
    for path in FILES:
        for node in ast.walk(tree(path)):
            if isinstance(node, Function):
                found.append((f"{path.relative_to(ROOT)}:{node.lineno} {node.name}", node))
    return tuple(found)


def imports(path: Path) -> Iterator[tuple[str, ast.stmt]]:
    """Every module that a file names in an import, wherever it stands; `from a import b` names `a` and `a.b`."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            package = MODULES[path].split(".")[: -node.level + (path.stem == "__init__") or None] if node.level else []
            module = ".".join([*package, *([node.module] if node.module else [])])
            yield module, node
            yield from ((f"{module}.{alias.name}", node) for alias in node.names)


def part_of(module: str) -> str:
    """The part of the house: `flockbook.pages.lambing.cards` → `pages`; "" outside."""
    words = module.split(".")
    return words[1] if words[0] == "flockbook" and len(words) > 1 else ""


def on_load(path: Path) -> set[str]:
    """The top-level packages that loading a file alone imports: not inside functions, nor for type checkers only."""
    inside: set[ast.AST] = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, Function) or (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)):
            inside.update(ast.walk(node))
    return {name.split(".")[0] for name, node in imports(path) if node not in inside}


def test_the_engine_knows_no_domain() -> None:
    """`compiler` imports nothing of `flockbook`."""
    assert [str(path) for path in FILES for name, _ in imports(path)
            if path.is_relative_to(ROOT / "compiler") and name.split(".")[0] == "flockbook"] == []  # fmt: skip


def test_the_engine_says_no_word_of_the_trade() -> None:
    """No name, text or docstring of `compiler` speaks of sheep; examples in the rules of messages may."""
    inside = [path for path in FILES if path.is_relative_to(ROOT / "compiler")]
    assert [f"{path.name}:{said}" for path in inside for said in said_of_the_trade(tree(path))] == []


@pytest.mark.parametrize(
    ("planted", "said"),
    [
        ('"""Weights and dose rates."""', "1 dose"),
        ("class DoseRate: ...", "1 Dose"),
        ("def read_withdrawal(text): ...", "1 withdrawal"),
        ("WITHDRAWAL = 1", "1 WITHDRAWAL"),
        ("def read(milk_period): ...", "1 milk"),
        ('EACH = r"(.+?) ?(?:each|per head)"', "1 per head"),
        ('CURE = "write `28 days` or `not for milk`"', "1 milk"),
        ('f"moved to the {place} paddock on {day}"', "1 paddock"),
        ("found.weaningWeight(weaning=day)", "1 weaning"),
        ("from compiler.amounts import DRENCH", "1 DRENCH"),
    ],
)
def test_a_planted_word_of_the_trade_is_found(planted: str, said: str) -> None:
    """A word of the trade is found in names, in parts of names and in texts; `tag` and `head` are words of pages."""
    assert said in said_of_the_trade(ast.parse(planted))
    assert said_of_the_trade(ast.parse('Rule("S1", example="a dose")')) == []
    assert said_of_the_trade(ast.parse('Rule("S1", why="a dose")')) != []
    assert said_of_the_trade(ast.parse('head = "the tag of a picture"')) == []


def said_of_the_trade(module: ast.Module) -> list[str]:
    """The words of the trade in a module, with their lines; the examples in the rules of messages are left out."""
    examples = {part for node in ast.walk(module) for said in examples_of(node) for part in ast.walk(said)}
    return [
        f"{getattr(node, 'lineno', 0)} {word[0]}"
        for node in ast.walk(module)
        if node not in examples and (word := OF_THE_TRADE.search(words_of(node)))
    ]


def examples_of(node: ast.AST) -> list[ast.expr]:
    """The example of a rule, which stands last or by name: `Rule(code, name, grade, why, example)`."""
    if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Rule"):
        return []
    return [*node.args[4:], *(given.value for given in node.keywords if given.arg == "example")]


def words_of(node: ast.AST) -> str:
    """The words of a node: a name with its parts apart, or a text. `fcntl.flock` is a name of the system's."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.Attribute) and ast.unparse(node) == "fcntl.flock":
        return ""
    name = next((said for key in ("name", "id", "arg", "attr") if (said := getattr(node, key, None))), "")
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name.replace("_", " ")) if isinstance(name, str) else ""


def test_every_part_rests_on_lower_ones() -> None:
    """cli → book → pages, checks, handover → seen → derive → linking → whom → flock → records: a part of `flockbook`
    imports only parts of lower storeys; so pages, checks and handovers never know each other.
    """
    level = {name: height for height, names in enumerate(FLOORS) for name in names}
    parts = {part_of(MODULES[path]) for path in FILES} - {""}
    assert sorted(level) == sorted(parts), "give every part of `flockbook` its place in FLOORS"
    broken = [
        f"{MODULES[path]} imports {name}"
        for path in FILES
        for name, _ in imports(path)
        if (here := part_of(MODULES[path])) and (there := part_of(name)) and here != there
        if level.get(there, len(FLOORS)) >= level[here]
    ]
    assert broken == [], "a part may know only those of lower storeys (FLOORS)"


def test_rooms_outside_the_wings() -> None:
    """A loose room of facts or pages stands below all wings or above them, by name."""
    broken = []
    for part in WINGS:
        loose = {path.stem for path in (ROOT / "flockbook" / part).glob("*.py")} - {"__init__"}
        assert loose == {*BELOW[part], *ABOVE[part]}, f"put the room into a wing of `{part}`, or name it here"
        order = (*BELOW[part], *WINGS[part], *ABOVE[part])
        for path in (path for path in FILES if part_of(MODULES[path]) == part):
            words = MODULES[path].split(".")
            here = order.index(words[2]) if len(words) > 2 else len(order)
            broken += [
                f"{MODULES[path]} imports {name}"
                for name, _ in imports(path)
                if part_of(name) == part and (to := name.split(".")[2:3]) and to[0] in order
                if order.index(to[0]) > here or (order.index(to[0]) == here and to[0] in BELOW[part])
            ]
    assert broken == [], "a room may know only what stands to its left (BELOW, WINGS, ABOVE)"


def test_what_is_seen_is_named_once() -> None:
    """Only `flockbook.seen` says of what `Findings` are made; every check, page and handover takes the name from it."""
    said = [
        MODULES[path]
        for path in FILES
        if part_of(MODULES[path])
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Findings"
    ]
    assert said == ["flockbook.seen"]


def test_every_wing_looks_left() -> None:
    """A wing of facts or of pages imports only its own rooms and wings to its left; every room stands in a wing."""
    broken = [
        f"{MODULES[path]} imports {name}"
        for path in FILES
        for name, _ in imports(path)
        if wing_of(name) is not None and (wing_of(name) or 0) > (wing_of(MODULES[path]) or 0)
        if part_of(name) == part_of(MODULES[path]) and wing_of(MODULES[path]) is not None
    ]
    assert broken == []
    found = {part: {path.name for path in (ROOT / "flockbook" / part).iterdir() if path.is_dir()} for part in WINGS}
    assert {part: names - {"__pycache__"} for part, names in found.items()} == {
        part: set(wings) for part, wings in WINGS.items()
    }


def wing_of(module: str) -> int | None:
    """Where the wing of a module stands, from the left; None outside the wings."""
    words = module.split(".")
    wings = WINGS.get(part_of(module), ())
    return wings.index(words[2]) if len(words) > 2 and words[2] in wings else None


def test_every_storey_rests_on_lower_ones() -> None:
    """A module of `compiler` imports only modules of lower storeys, and each stands in exactly one."""
    level = {name: height for height, names in enumerate(STOREYS) for name in names}
    inside = [path for path in FILES if path.is_relative_to(ROOT / "compiler") and path.stem != "__init__"]
    assert sorted(level) == sorted(path.stem for path in inside)
    assert sum(map(len, STOREYS)) == len(level)
    broken = [
        f"{MODULES[path]} imports {name}"
        for path in inside
        for name, _ in imports(path)
        if name.startswith("compiler.") and level.get(name.split(".")[1], -1) >= level[path.stem]
    ]
    assert broken == []


def test_every_room_is_on_the_map() -> None:
    """DEVELOPERS.md names every module in one of its tables, those of a wing in the wing's own row."""
    rows = [line for line in (ROOT / "DEVELOPERS.md").read_text("utf-8").splitlines() if line.startswith("|")]
    named = {name for row in rows for span in re.findall(r"`([^`]+)`", row) for name in span.split()}
    lost = {str(path) for path in FILES if not path.stem.startswith("__") and path.stem not in {*named, "facts"}}
    for package, wings in WINGS.items():
        for wing in wings:
            said = " ".join(row for row in rows if wing in row.split("|")[1].replace(",", " ").split())
            inside = (ROOT / "flockbook" / package / wing).glob("[a-z]*.py")
            lost |= {str(path) for path in inside if path.stem not in {*re.findall(r"\w+", said), "facts"}}
    assert lost == set()


def test_no_circles() -> None:
    """No module imports, directly or by way of others, a module that imports it."""
    known = set(MODULES.values())
    asks = {MODULES[path]: set(asked_for(path, known)) for path in FILES}
    done: set[str] = set()
    for start in sorted(asks):
        walk(start, asks, (), done)


def asked_for(path: Path, known: set[str]) -> Iterator[str]:
    """The modules of ours that a file needs; `from package import module` needs the module, not the package."""
    for name, node in imports(path):
        names = [f"{name}.{alias.name}" for alias in node.names] if isinstance(node, ast.ImportFrom) else []
        if name in known and not any(inner in known for inner in names):
            yield name


def walk(module: str, asks: dict[str, set[str]], way: tuple[str, ...], done: set[str]) -> None:
    assert module not in way, f"a circle: {' → '.join((*way, module))}"
    if module not in done:
        for other in sorted(asks[module] - {module}):
            walk(other, asks, (*way, module), done)
        done.add(module)


def test_what_works_things_out_touches_nothing_outside() -> None:
    """Records, links, facts and checks touch no file, no clock, no chance, no template."""
    found = []
    for path in FILES:
        if part_of(MODULES[path]) in PURE:
            found += [
                f"{MODULES[path]} imports {name}" for name, _ in imports(path) if name in OUTSIDE | {"jinja2", "plotly"}
            ]
            found += [f"{MODULES[path]} opens a file" for node in ast.walk(tree(path)) if called(node) == "open"]
    assert found == []


def called(node: ast.AST) -> str:
    """The plain name that a node calls, or ""."""
    return node.func.id if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) else ""


def test_only_the_command_line_reads_the_clock() -> None:
    """Today comes in as a parameter everywhere but in `flockbook.cli`."""
    found = []
    for path in FILES:
        if part_of(MODULES[path]) != "cli":
            for node in ast.walk(tree(path)):
                if isinstance(node, ast.Attribute) and (ast.unparse(node.value).split(".")[-1], node.attr) in CLOCK:
                    found.append(f"{MODULES[path]}:{node.lineno}")
    assert found == []


def test_only_the_command_line_prints() -> None:
    """Nothing but `flockbook.cli` writes to the terminal."""
    found = []
    for path in FILES:
        if part_of(MODULES[path]) != "cli":
            found += [f"{MODULES[path]}:{node.lineno}" for node in ast.walk(tree(path)) if is_printing(node)]
            found += [f"{MODULES[path]} imports {name}" for name, _ in imports(path) if name.split(".")[0] == "click"]
    assert found == []


def is_printing(node: ast.AST) -> bool:
    return called(node) in ("print", "input") or (isinstance(node, ast.Attribute) and node.attr in ("stdout", "stderr"))


def test_slow_libraries_are_loaded_when_needed() -> None:
    """Libraries that only one stage needs are imported inside the function that needs them; some only in tests."""
    found = [f"{MODULES[path]}: {name}" for path in FILES for name in sorted(on_load(path) & LAZY)]
    found += [
        f"{MODULES[path]}: {name}" for path in FILES for name, _ in imports(path) if name.split(".")[0] in ONLY_IN_TESTS
    ]
    assert found == []


def test_names_of_modules() -> None:
    """Modules are nouns that say what they hold."""
    assert [module for module in MODULES.values() if any(NOT_NOUNS.search(word) for word in module.split("."))] == []


def test_one_name_means_one_thing() -> None:
    """No name of a module stands for two things in `flockbook`, but those that every module of a sort has."""
    homes: dict[str, list[str]] = {}
    for path in FILES:
        if part_of(MODULES[path]) or path.is_relative_to(ROOT / "flockbook"):
            for name in sorted(set(named_in(tree(path)))):
                homes.setdefault(name, []).append(MODULES[path])
    twice = {name: tuple(modules) for name, modules in homes.items() if len(modules) > 1 and name not in OF_A_SORT}
    assert twice == {}


def test_names_of_a_sort_are_needed() -> None:
    """A name is declared as one of a sort only while more than one module has it."""
    found = [name for path in FILES if part_of(MODULES[path]) for name in set(named_in(tree(path)))]
    assert {name for name in OF_A_SORT if found.count(name) < 2} == set()


@pytest.mark.parametrize(
    ("planted", "names"),
    [
        ("KG_PER_LB = 0.45", ["KG_PER_LB"]),
        ("A, (B, C) = 1, (2, 3)", ["A", "B", "C"]),
        ("LIMIT: int = 3", ["LIMIT"]),
        ("def spread(): ...", ["spread"]),
        ("class Known: part = 1", ["Known"]),
        ("from a import b as Known\nif True:\n    inside = 1", []),
    ],
)
def test_a_planted_name_is_found(planted: str, names: list[str]) -> None:
    """Constants, functions and classes of a module are names of its own; what it imports is not."""
    assert sorted(named_in(ast.parse(planted))) == names


def test_nothing_is_idle() -> None:
    """Every function, method, class and constant of `flockbook` is used by the program or drawn by the theme: what only
    a test calls proves nothing of the book.
    """
    used = {name for path in FILES for name in used_in(tree(path))}
    used |= {word for path in THEMES for word in re.findall(r"\w+", path.read_text("utf-8"))}
    idle = [
        f"{MODULES[path]}: {name}"
        for path in FILES
        if path.is_relative_to(ROOT / "flockbook")
        for name in (*named_in(tree(path)), *methods_in(tree(path)))
        if name not in used | CALLED_BY_LIBRARIES | handed_on(tree(path)) and not name.startswith("__")
    ]
    assert idle == []


def used_in(module: ast.Module) -> Iterator[str]:
    """The names that a module takes up anywhere: in itself, from another, as part of something, or as a word."""
    for node in ast.walk(module):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load):
            yield node.id
        elif isinstance(node, ast.Attribute):
            yield node.attr
        elif isinstance(node, ast.keyword) and node.arg:
            yield node.arg
        elif isinstance(node, ast.alias):
            yield node.name
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.isidentifier():
            yield node.value


def handed_on(module: ast.Module) -> set[str]:
    """The functions of a module that a decorator hands on, as to the command line."""
    return {node.name for node in module.body if isinstance(node, Function) and node.decorator_list}


def methods_in(module: ast.Module) -> Iterator[str]:
    """The methods of a module's classes that no decorator hands on."""
    for node in ast.walk(module):
        if isinstance(node, ast.ClassDef):
            yield from (one.name for one in node.body if isinstance(one, Function) and not one.decorator_list)


def named_in(module: ast.Module) -> Iterator[str]:
    """The names that a module gives to something: its functions, classes and constants."""
    for node in module.body:
        if isinstance(node, Function | ast.ClassDef):
            yield node.name
        targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
        for part in (part for target in targets if target for part in ast.walk(target)):
            if isinstance(part, ast.Name) and isinstance(part.ctx, ast.Store):
                yield part.id


def test_rules_are_worded_beside_themselves() -> None:
    """The page of workings prints rules from the modules that hold to them: it has no wording of a rule of its own."""
    page = tree(ROOT / "flockbook" / "pages" / "telling" / "workings.py")
    given = [node for node in page.body if isinstance(node, ast.Assign)]
    (told,) = [node.value for node in given if ast.unparse(node.targets[0]) == "OTHER_RULES"]
    assert isinstance(told, ast.Dict)
    assert len(told.values) > 10
    assert [ast.unparse(text) for text in told.values for part in ast.walk(text) if is_wording(part)] == []


def is_wording(node: ast.AST) -> bool:
    """Whether a node is a text that says something."""
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and bool(node.value.strip())


def test_facts_make_no_days_into_text() -> None:
    """What works things out hands on days as days: only ids, and what the guard's own rules say, hold them as text."""
    inside = [path for path in FILES if part_of(MODULES[path]) == "derive"]
    called = {
        MODULES[path]
        for path in inside
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and node.attr in ("isoformat", "strftime")
    }
    ids = {"flockbook.derive.health.cases", "flockbook.derive.year.plans"}
    guard = {f"flockbook.derive.medicine.{name}" for name in ("holds",)}
    assert called <= ids | guard
    speaks = {MODULES[path] for path in inside if any(name.endswith("days.day_words") for name, _ in imports(path))}
    assert speaks <= {"flockbook.derive.year.reminders"}


@pytest.mark.parametrize("wing", WORDED_ABOVE)
def test_facts_say_nothing(wing: str) -> None:
    """No sentence for a shepherd is made where things are worked out: a wing hands on typed reasons."""
    inside = [path for path in FILES if path.is_relative_to(ROOT / "flockbook" / "derive" / wing)]
    assert len(inside) > 2
    assert [f"{path.name}:{said}" for path in inside for said in sentences_in(tree(path))] == []


@pytest.mark.parametrize(
    ("planted", "found"),
    [
        ('def why(day):\n    return f"held until {day}"', ["2 held until "]),
        ('def why(days):\n    yield f"{days} old"', ["2  old"]),
        ('WHY = {"W5": "the course is open"}', ["1 the course is open"]),
        ('NEVER = "not for milk"', ["1 not for milk"]),
        ('class Row:\n    text: str = "not written"', ["2 not written"]),
        ('GATE_RULE = f"Whoever is held by {W1} stays here."', []),
        ('raise ValueError(f"no factor from {ml} mL")', []),
        ('def line(row):\n    """One line of a row."""\n    return f"{row.sheep}-{row.day:%H}"', []),
        ('AGAIN = re.compile(rf"\\b(?:and also|the same) {day}")', []),
        ('kind = "off rate"', []),
    ],
)
def test_a_planted_sentence_is_found(planted: str, found: list[str]) -> None:
    """A sentence is found in texts and in texts with figures; rules, faults of a caller and patterns are left out."""
    assert sentences_in(ast.parse(planted)) == found


def sentences_in(module: ast.Module) -> list[str]:
    """The texts of a module that say something to a reader, with their lines."""
    kept = {part for node in ast.walk(module) if is_kept(node) for part in ast.walk(node)}
    kept |= {part for node in ast.walk(module) if isinstance(node, ast.JoinedStr) for part in node.values}
    return [
        f"{node.lineno} {said}"
        for node in ast.walk(module)
        if isinstance(node, ast.Constant | ast.JoinedStr) and node not in kept and (said := sentence(node))
    ]


def is_kept(node: ast.AST) -> bool:
    """Whether all texts below a node may stand: a docstring, a fault of the caller's, a pattern, the text of a rule."""
    if isinstance(node, ast.Assign):
        return {ast.unparse(target) for target in node.targets} <= TEXTS_OF_RULES | WORDS_READ
    if isinstance(node, ast.Expr):
        return isinstance(node.value, ast.Constant)
    return isinstance(node, ast.Raise) or (
        isinstance(node, ast.Call) and ast.unparse(node.func).startswith(("re.", "either", "_require_"))
    )


def sentence(node: ast.Constant | ast.JoinedStr) -> str:
    """What a text says: two words or more, or one beside a figure; "" for a tag or no words at all."""
    if isinstance(node, ast.JoinedStr):
        said = "".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
        return said if ONE_WORD.search(said) else ""
    said = node.value if isinstance(node.value, str) and node.value not in TAGS_OF_TWO_WORDS else ""
    return said if TWO_WORDS.search(said) else ""


def body_lines(node: Function) -> int:
    """Lines of a function's body without its docstring."""
    body = node.body[1:] if ast.get_docstring(node) is not None else node.body
    return (node.end_lineno or 0) - body[0].lineno + 1 if body else 0


def depth(node: ast.AST, level: int = 0) -> int:
    """How deep blocks stand inside one another; `elif` is no deeper than its `if`."""
    deepest = level
    for name, value in ast.iter_fields(node):
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not isinstance(child, Function | ast.ClassDef | ast.Lambda):
                chained = name == "orelse" and isinstance(node, ast.If) and isinstance(child, ast.If)
                deepest = max(deepest, depth(child, level + (isinstance(child, BLOCKS) and not chained)))
    return deepest


def share(values: list[int], tenths: int) -> float:
    """The value below which so many tenths of the values lie."""
    return statistics.quantiles(values, n=10, method="inclusive")[tenths - 1]


def test_functions_are_short() -> None:
    """Bodies: median at most 5 lines, nine in ten at most 22, none above 45."""
    sizes = {place: body_lines(node) for place, node in functions()}
    assert {place: size for place, size in sizes.items() if size > 45} == {}
    assert share(list(sizes.values()), 5) <= 5
    assert share(list(sizes.values()), 9) <= 22


def test_functions_take_little_and_nest_little() -> None:
    """Nine in ten take at most 4 parameters and hold blocks at most 2 deep, none deeper than 3."""
    taken = [len([*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]) for _, node in functions()]
    assert share(taken, 9) <= 5  # `self` counts here, but not for a reader
    depths = {place: depth(node) for place, node in functions()}
    assert {place: deep for place, deep in depths.items() if deep > 3} == {}
    assert share(list(depths.values()), 9) <= 2


def test_what_is_carried_together_has_a_name() -> None:
    """No parameter is a tuple of unlike things: they get a small value with a name for each. A pair of like ones is
    a point, a span or an edge.
    """
    carried = [
        f"{place}({word.arg}: {ast.unparse(word.annotation)})"
        for place, node in functions()
        for word in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
        if word.annotation and is_mixed(word.annotation)
    ]
    assert carried == []


def is_mixed(annotation: ast.expr) -> bool:
    """Whether a type is a tuple whose places hold different types."""
    if not (isinstance(annotation, ast.Subscript) and ast.unparse(annotation.value) == "tuple"):
        return False
    places = annotation.slice.elts if isinstance(annotation.slice, ast.Tuple) else []
    return len({ast.unparse(place) for place in places} - {"..."}) > 1


def test_files_are_short() -> None:
    """Files: median at most 200 lines, none above 350 but those that are being rebuilt."""
    sizes = {str(path.relative_to(ROOT)): len(path.read_text("utf-8").splitlines()) for path in FILES}
    assert {path for path, size in sizes.items() if size > 350} <= LONG_STILL
    assert {path: size for path, size in sizes.items() if size > 500} == {}
    assert share(list(sizes.values()), 5) <= 200


def test_everything_is_annotated() -> None:
    """Every parameter and every result has a type."""
    bare = []
    for place, node in functions():
        given = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs, node.args.vararg, node.args.kwarg]
        names = [word.arg for word in given if word and word.annotation is None and word.arg not in ("self", "cls")]
        if names or node.returns is None:
            bare.append(f"{place}: {', '.join(names) or 'result'}")
    assert bare == []


def test_every_test_says_what_it_holds() -> None:
    """Each test has a docstring that is a sentence."""
    silent = []
    for path in TESTS:
        for node in ast.walk(tree(path)):
            said = (ast.get_docstring(node) or "").rstrip() if isinstance(node, Function) else "."
            if isinstance(node, Function) and node.name.startswith("test_") and not said.endswith((".", "?", ")")):
                silent.append(f"{path.relative_to(ROOT)}:{node.lineno} {node.name}")
    assert silent == []


START = """
import sys
before = set(sys.modules)
import flockbook.cli.main
print(*sorted({name.split(".")[0] for name in set(sys.modules) - before}))
"""


def test_the_start_is_cheap() -> None:
    """Starting the program imports click, nothing else from outside the standard library, no slow part of that."""
    done = subprocess.run([sys.executable, "-c", START], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert loaded - set(sys.stdlib_module_names) <= {"click", "compiler", "flockbook"}
    assert loaded & {"sqlite3", "asyncio", "http", "socket", "ssl", "unittest", "multiprocessing"} == set()


PROOF = """
import sys
from datetime import datetime
from pathlib import Path
from compiler.book import Moment
from compiler.build import proof
from flockbook.book import BOOK
proof(Path("site_demo"), BOOK, Moment(datetime(2026, 11, 25)))
print(*sorted({name.split(".")[0] for name in sys.modules} | {name for name in sys.modules if "pages" in name}))
"""


def test_a_proof_loads_neither_pages_nor_templates_nor_scipy() -> None:
    """What only the book needs is not waited for where notes are read and checked."""
    done = subprocess.run([sys.executable, "-c", PROOF], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert {"flockbook", "compiler", "yaml"} <= loaded
    assert loaded & {"jinja2", "scipy", "numpy", "flockbook.pages", "flockbook.pages.contents"} == set()


VALUES = """
import sys
import flockbook.book, flockbook.pages.contents
modules = [module for name, module in sys.modules.items() if name.startswith(("compiler", "flockbook"))]
classes = {thing for module in modules for thing in vars(module).values() if isinstance(thing, type)}
print(*(f"{one.__module__}.{one.__name__}" for one in classes if "__dataclass_params__" in vars(one)))
"""


def test_values_are_made_in_one_way() -> None:
    """Loading all facts and pages makes only a few dataclasses, working classes all (each takes a millisecond); frozen
    ones are values instead, and only their module knows the library behind them.
    """
    done = subprocess.run([sys.executable, "-c", VALUES], cwd=ROOT, capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) <= WORKING
    frozen = [f"{MODULES[path]}:{node.lineno}" for path in FILES for node in ast.walk(tree(path)) if is_frozen(node)]
    assert frozen == []
    assert {MODULES[path] for path in FILES for name, _ in imports(path) if name == "msgspec"} == {"compiler.shape"}
    taken = {name for path in FILES if path.stem != "shape" for name, _ in imports(path) if "dataclasses." in name}
    assert taken <= {"dataclasses.dataclass", "dataclasses.field"}  # the rest does not know values


def is_frozen(node: ast.AST) -> bool:
    """Whether a class is made a frozen dataclass."""
    made = node.decorator_list if isinstance(node, ast.ClassDef) else ()
    return any("dataclass" in ast.unparse(how) and "frozen=True" in ast.unparse(how) for how in made)


def test_no_group_is_repeated_possessively() -> None:
    """`(...)*+` matches wrongly in Python 3.11.0 to 3.11.4 (CPython issue 106052), which read a weight of 62 as `62,`;
    possessive repeats of one character or class are sound there.
    """
    text = "".join(path.read_text() for path in FILES)
    assert re.findall(r"r[f]?\"[^\"\n]*\)[*?+]\+[^\"\n]*\"", text) == []


@pytest.mark.parametrize("command", [["ruff", "check"], ["mypy"]], ids=["style", "types"])
def test_style_and_types(command: list[str]) -> None:
    """ruff and mypy (independent readers of the code) find nothing, by the rules of pyproject.toml."""
    where = ["."] if command[0] == "ruff" else []
    done = subprocess.run(
        [sys.executable, "-m", *command, *where], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
