"""Where a dose's file lies, what it is called, and in which bytes it stands (V7); most rework any file there is."""

from __future__ import annotations

from tests.truth.plain import Link
from tests.truth.ways import Make, Patch, Scene, family, using, way
from tests.truth.world import Unfit

HOLE = "a file that is not read: whoever stands in it, else the whole flock (V7)"
COPY = "two files that say the same: whoever stands in them"


def name(scene: Scene) -> str:
    """The file's name without its ending."""
    return scene.path.rpartition("/")[2].removesuffix(".md")


def place(scene: Scene) -> str:
    """The folder it lies in."""
    return scene.path.rpartition("/")[0]


def refiled(shape: str) -> Make:
    """Under another path, which may use its folder, its name and its day."""

    def make(scene: Scene) -> Patch:
        words = {"place": place(scene), "name": name(scene), "day": scene.dose.at, "rest": name(scene)[10:].strip()}
        path = shape.format(**words).lstrip("/")
        if any(
            word in name(scene) and word not in path for word in (*scene.tags, *scene.names, *scene.world.mobs) if word
        ):
            raise Unfit("the name of the file is all that says whom")
        if path in scene.files:
            raise Unfit("another file lies there")
        return {scene.path: None, path: scene.files[scene.path]}

    return make


def beside(shape: str) -> Make:
    """A second file of the same words beside it."""
    return lambda scene: {
        scene.path: scene.files[scene.path],
        shape.format(place=place(scene), name=name(scene), day=scene.dose.at): scene.files[scene.path],
    }


def reworked(old: str, new: str) -> Make:
    """With other characters in the text."""
    return lambda scene: {scene.path: scene.text.replace(old, new)}


files = family("V7", of="one", place="file", price=HOLE)
unseen = family("beyond V7", of="one", place="file", price=HOLE)  # hidden folders that nothing links to
ENDINGS = {
    "none": "{place}/{name}",
    "rtf": "{place}/{name}.rtf",
    "orig": "{place}/{name}.md.orig",
    "bak": "{place}/{name}.md.bak",
    "txt": "{place}/{name}.txt",
    "markdown": "{place}/{name}.markdown",
    "md_txt": "{place}/{name}.md.txt",
    "text": "{place}/{name}.text",
    "capital": "{place}/{name}.MD",
    "mdx": "{place}/{name}.mdx",
    "doc": "{place}/{name}.doc",
    "tilde": "{place}/{name}.md~",
    "hashes": "{place}/#{name}.md#",
    "hash": "{place}/#{name}.md",
    "swap": "{place}/.{name}.md.swp",
    "hidden": "{place}/.{name}.md",
    "underscore": "{place}/_{name}.md",
    "lock": "{place}/.~lock.{name}.md#",
    "html": "{place}/{name}.html",
    "json": "{place}/{name}.json",
    "yaml": "{place}/{name}.yaml",
    "yml": "{place}/{name}.yml",
    "csv": "{place}/{name}.csv",
    "eml": "{place}/{name}.eml",
    "org": "{place}/{name}.org",
    "rst": "{place}/{name}.rst",
    "log": "{place}/{name}.log",
    "tmp": "{place}/{name}.tmp",
    "old": "{place}/{name}.md.old",
    "save": "{place}/{name}.md.save",
    "part": "{place}/{name}.md.part",
    "double": "{place}/{name}.md.md",
    "dot": "{place}/{name}.",
    "m": "{place}/{name}.m",
    "mkd": "{place}/{name}.mkd",
    "rej": "{place}/{name}.md.rej",
    "one": "{place}/{name}.md.1",
    "dropbox": "{place}/.dropbox.cache/{name}.md",
    "blank": "{place}/{name} .md",
    "gpg": "{place}/{name}.md.asc",
}
for word, shape in ENDINGS.items():
    (unseen if word == "dropbox" else files)(
        f"ending_{word}", f"the file is `{shape.rpartition('/')[2]}`", refiled(shape)
    )

PLACES = {
    "root": "{name}.md",
    "other_year": "events/2025/{name}.md",
    "sheep": "sheep/{name}.md",
    "medicines": "medicines/{name}.md",
    "mobs": "mobs/{name}.md",
    "photos": "photos/{name}.md",
    "inbox": "inbox/{name}.md",
    "templates": "templates/{name}.md",
    "archive": "archive/2026/{name}.md",
    "drafts": "drafts/{name}.md",
    "note_folder": "{place}/x.md/{name}.md",
    "git": ".git/{name}.md",
    "hidden": ".phone/{name}.md",
    "trash": ".trash/{name}.md",
    "deep": "{place}/a/b/c/d/{name}.md",
    "blank": "{place}/ {name}.md",
    "output": "book/{name}.md",
    "conflict_folder": "{place} (conflicted copy)/{name}.md",
    "tmp_folder": "tmp/{name}.md",
    "tilde_folder": "old~/{name}.md",
    "skip_word": "node_modules/{name}.md",
}
for word, shape in PLACES.items():
    (unseen if word in ("git", "hidden", "trash") else files)(
        f"place_{word}", f"the file lies at `{shape}`", refiled(shape)
    )

NAMES = {
    "no_day": "{place}/{rest}.md",
    "underscores": "{place}/{day:%Y_%m_%d}_treatment.md",
    "glued_day": "{place}/{day:%Y%m%d} treatment.md",
    "day_month": "{place}/{day:%d-%m-%Y} treatment.md",
    "day_words": "{place}/{day:%d %b %Y} treatment.md",
    "day_last": "{place}/treatment {day:%Y-%m-%d}.md",
    "short_day": "{place}/{day.year}-{day.month}-{day.day} treatment.md",
    "short_year": "{place}/{day:%y-%m-%d} treatment.md",
    "no_kind": "{place}/{day:%Y-%m-%d}.md",
    "other_kind": "{place}/{day:%Y-%m-%d} remark.md",
    "kind_slip": "{place}/{day:%Y-%m-%d} treatmnet.md",
    "plural": "{place}/{day:%Y-%m-%d} treatments.md",
    "kind_capital": "{place}/{day:%Y-%m-%d} TREATMENT.md",
    "note": "{place}/note.md",
    "untitled": "{place}/Untitled.md",
    "new_note": "{place}/New note 3.md",
    "month_only": "{place}/{day:%Y-%m} treatment.md",
    "dots": "{place}/{day:%Y.%m.%d} treatment.md",
    "time_h": "{place}/{day:%Y-%m-%d} {day:%Hh%M} treatment.md",
    "time_colon": "{place}/{day:%Y-%m-%d} {day:%H:%M} treatment.md",
    "no_blank": "{place}/{day:%Y-%m-%d}treatment.md",
    "long_dash": "{place}/{day:%Y–%m–%d} treatment.md",
    "copy_word": "{place}/{name} copy.md",
    "copy_of": "{place}/Copy of {name}.md",
    "bracket": "{place}/{name} (1).md",
    "conflict": "{place}/{name} (conflicted copy 2026-06-02).md",
    "sync_conflict": "{place}/{name}.sync-conflict-20260602-101500-ABCDEF.md",
    "unicode": "{place}/{name} ✓.md",
    "day_in_words": "{place}/2 June treatment.md",
}
for word, shape in NAMES.items():
    files(f"file_{word}", f"the file is called `{shape.rpartition('/')[2]}`", refiled(shape))

copies = family("V7", of="one", place="file", price=COPY)
for word in ("copy_word", "copy_of", "bracket", "conflict", "sync_conflict"):
    copies(f"twice_{word}", f"a second file `{NAMES[word].rpartition('/')[2]}` of the same words", beside(NAMES[word]))
copies("twice_orig", "an .orig of the same words beside it", beside("{place}/{name}.md.orig"))
copies("twice_txt", "a .txt of the same words beside it", beside("{place}/{name}.txt"))
copies("twice_other_folder", "the same file in another folder", beside("phone/{name}.md"))

fuller = family("V7", of="pair", price=COPY)
FULLER = {
    "conflict": "{name} (conflicted copy).md",
    "bracket": "{name} (1).md",
    "copy_word": "{name} copy.md",
    "sync": "{name}.sync-conflict-20260602.md",
    "orig": "{name}.md.orig",
    "tilde": "{name}.md~",
    "hash": "#{name}.md#",
    "txt": "{name}.txt",
    "swap": ".{name}.md.swp",
    "no_ending": "{name}",
    "new": "{name} new.md",
}


def fuller_copy(shape: str) -> Make:
    """The file names one; its copy names both."""

    def make(scene: Scene) -> Patch:
        less = scene.bare.but(sheep=scene.tags[0])
        return {
            less.path: less.text,
            f"{less.folder}/{shape.format(name=less.file.removesuffix('.md'))}": scene.note.text,
        }

    return make


for word, shape in FULLER.items():
    fuller(f"fuller_{word}", f"the note names one; a copy `{shape}` names both", fuller_copy(shape))

damage = family("V7", of="one", place="file", price=HOLE)


def body(scene: Scene) -> str:
    """The lines below the head, all of them where there is none."""
    return scene.text.partition("\n---\n")[2] if scene.text.startswith("---") else scene.text


def treatment(scene: Scene) -> str:
    """Its text, which must be a treatment's: of another kind nothing is left that tells of a dose."""
    if not scene.text.startswith("---\nnote: treatment"):
        raise Unfit("the file's name does not say that it is a treatment")
    return scene.text


def cut_short(text: str) -> str:
    """The first two thirds of a head; what tells of the dose must still be in it."""
    head = text[: text.find("---", 4)]
    if "note: treatment" not in head:
        raise Unfit("the dose stands below the head")
    return head[: len(head) * 2 // 3]


damage("bytes_bom", "a byte order mark", lambda s: {s.path: "\ufeff" + s.text})
damage("bytes_crlf", "line ends of Windows", reworked("\n", "\r\n"))
damage("bytes_cr", "line ends of an old Mac", reworked("\n", "\r"))
damage("bytes_utf16", "UTF-16", lambda s: {s.path: s.text.encode("utf-16")})
damage("bytes_utf16_bare", "UTF-16 without a mark", lambda s: {s.path: s.text.encode("utf-16-le")})
damage("bytes_latin", "a Latin-1 é in it", lambda s: {s.path: (s.text + "Café.\n").encode("latin-1")})
damage(
    "bytes_latin_head",
    "a Latin-1 é in its head",
    lambda s: {s.path: s.text.replace("---\nnote", "---\nby: Zoé\nnote").encode("latin-1")},
)
damage("bytes_nul", "a NUL at its end", lambda s: {s.path: s.text + "\0"})
damage("bytes_nul_head", "a NUL in its head", reworked("note: treatment", "note: treat\0ment"))
damage("bytes_no_break", "no-break spaces behind the colons", reworked(": ", ":\u00a0"))
damage("bytes_tabs", "tabs behind the colons", reworked(": ", ":\t"))
damage("bytes_wide_colon", "wide colons of a phone keyboard", reworked(": ", "： "))
damage("bytes_zero_width", "a zero-width space before each key", reworked("\nsheep", "\n\u200bsheep"))
damage("bytes_line_separator", "Unicode line separators", reworked("\n", "\u2028"))
damage("bytes_gzip", "squeezed by gzip under its own name", lambda s: {s.path: squeezed(treatment(s))})
damage("fence_missing_first", "the first fence is missing", lambda s: {s.path: s.text.removeprefix("---\n")})
damage("fence_missing_last", "the second fence is missing", lambda s: {s.path: s.text.replace("\n---\n", "\n", 1)})
damage("fence_both_missing", "no fences", lambda s: {s.path: s.text.replace("---\n", "")})
damage("fence_long_dash", "fences of em dashes", reworked("---\n", "—\n"))
damage("fence_em_en", "fences `—-`", reworked("---\n", "—-\n"))
damage("fence_stars", "fences of stars", reworked("---\n", "***\n"))
damage("fence_equals", "fences of equals signs", reworked("---\n", "===\n"))
damage("fence_two", "fences of two dashes", reworked("---\n", "--\n"))
damage("fence_four", "fences of four dashes", reworked("---\n", "----\n"))
damage("fence_plus", "fences of plus signs", reworked("---\n", "+++\n"))
damage("fence_indented", "indented fences", reworked("---\n", " ---\n"))
damage("fence_blank_line_before", "blank lines before the head", lambda s: {s.path: "\n\n" + s.text})
damage("fence_words_before", "a line of words before the head", lambda s: {s.path: "Tuesday, wet.\n" + s.text})
damage("fence_heading_before", "a heading before the head", lambda s: {s.path: "# Treatment\n\n" + s.text})
damage("fence_code", "the whole note in a code fence", lambda s: {s.path: f"```\n{s.text}```\n"})
damage(
    "fence_code_yaml",
    "the head in a code fence of its own",
    lambda s: {s.path: s.text.replace("---\n", "```yaml\n", 1).replace("---\n", "```\n", 1)},
)
damage(
    "head_indented", "the whole head indented", lambda s: {s.path: s.text.replace("\n", "\n  ").replace("  ---", "---")}
)
damage(
    "head_blank_lines",
    "blank lines between the lines of the head",
    lambda s: {s.path: s.text.replace("\n", "\n\n").replace("---\n\n", "---\n", 1)},
)
damage(
    "head_dashes",
    "a dash before each line of the head",
    lambda s: {s.path: "".join(f"- {row}\n" if ": " in row else f"{row}\n" for row in s.text.splitlines())},
)
damage(
    "head_stars",
    "bold keys in the head",
    lambda s: {
        s.path: "".join(
            f"**{row.replace(': ', ':** ')}\n" if ": " in row else f"{row}\n" for row in s.text.splitlines()
        )
    },
)
damage(
    "head_quoted",
    "the whole note quoted, as forwarded mail",
    lambda s: {s.path: "".join(f"> {row}\n" for row in s.text.splitlines())},
)
damage(
    "head_semicolons",
    "semicolons at the ends of its lines",
    lambda s: {s.path: "".join(f"{row};\n" if ": " in row else f"{row}\n" for row in s.text.splitlines())},
)
damage(
    "head_one_line",
    "the head on one line",
    lambda s: {s.path: "---\n" + "; ".join(row for row in s.text.splitlines() if ": " in row) + "\n---\n" + body(s)},
)
damage(
    "head_braces",
    "the head in braces",
    lambda s: {s.path: "---\n{" + ", ".join(row for row in s.text.splitlines() if ": " in row) + "}\n---\n" + body(s)},
)
damage(
    "head_equals",
    "equals signs for colons",
    lambda s: {
        s.path: "".join(
            f"{row.replace(': ', ' = ', 1)}\n" if ": " in row else f"{row}\n" for row in s.text.splitlines()
        )
    },
)
damage(
    "head_json",
    "the head as JSON",
    lambda s: {
        s.path: "{"
        + ", ".join(f'"{row.split(": ")[0]}": "{row.split(": ", 1)[1]}"' for row in s.text.splitlines() if ": " in row)
        + "}\n"
        + body(s)
    },
)
damage(
    "head_git_conflict",
    "git left two versions",
    lambda s: {
        s.path: s.text.replace(
            "note: treatment\n", "<<<<<<< HEAD\nnote: treatment\n=======\nnote: treatment\n>>>>>>> phone\n"
        )
    },
)
damage("head_anchor", "`note: &a treatment`", reworked("note: treatment", "note: &a treatment"))
damage("head_tagged", "`note: !x treatment`", reworked("note: treatment", "note: !x treatment"))
damage("head_at", "a field that begins with @", reworked("note: treatment\n", "note: treatment\nby: @una\n"))
damage(
    "head_cut",
    "cut off in the middle of its head",
    lambda s: {s.path: cut_short(s.text)},
)
damage(
    "empty_after_sync",
    "an empty file under a full name, after a failed sync",
    lambda s: {s.path: None, f"{place(s)}/{s.dose.at:%Y-%m-%d} treatment {s.tags[0].replace('/', '-')}.md": ""},
)
damage("one_letter_lost", "the first letter of its kind is lost", reworked("note: treatment", "note: reatment"))

# -- two things in one file

joined = family("V7", of="one", price=HOLE)
REMARK = "---\nnote: remark\n---\nWet all day.\n"


def remark_path(scene: Scene) -> str:
    """A remark of the same day."""
    return f"events/{scene.dose.at:%Y}/{scene.dose.at:%Y-%m-%d} remark.md"


joined(
    "two_heads_remark_first",
    "a remark and the dose in one file, the remark first",
    lambda s: s.raw(remark_path(s), REMARK + s.note.text),
)
joined(
    "two_heads_dose_first",
    "a remark and the dose in one file, the dose first",
    lambda s: s.raw(s.note.path, s.note.text + REMARK),
)
joined(
    "two_heads_blank_between",
    "the two with blank lines between",
    lambda s: s.raw(remark_path(s), REMARK + "\n\n" + s.note.text),
)
joined(
    "two_heads_rule_between",
    "the two with a rule between",
    lambda s: s.raw(remark_path(s), REMARK + "\n***\n\n" + s.note.text),
)
joined(
    "dose_head_at_end",
    "the dose's head at the end of a remark, without fences",
    lambda s: s.raw(remark_path(s), REMARK + "\n" + s.note.text.replace("---\n", "")),
)
joined(
    "dose_head_in_fence",
    "the dose's head in a code fence in a remark",
    lambda s: s.raw(remark_path(s), REMARK + "\n```\n" + s.note.text.replace("---\n", "") + "```\n"),
)
joined(
    "dose_in_move_note",
    "the dose under a move's head in one file",
    lambda s: s.raw(
        f"events/{s.dose.at:%Y}/{s.dose.at:%Y-%m-%d} move.md",
        "---\nnote: move\nmob: low\nto: Long Park\n---\n" + s.note.text,
    ),
)
joined(
    "dose_in_sheep_note",
    "the dose's head under a sheep's own head",
    lambda s: {
        **dict.fromkeys(s.paths),
        s.plain.notes[f"sheep {s.keys[0]}"].path: s.plain.notes[f"sheep {s.keys[0]}"].text + "\n" + s.note.text,
    },
)
joined(
    "dose_in_medicine_note",
    "the dose's head under the medicine's own head",
    lambda s: {
        **dict.fromkeys(s.paths),
        s.plain.notes[f"medicine {s.dose.medicine}"].path: s.plain.notes[f"medicine {s.dose.medicine}"].text
        + "\n"
        + s.note.text,
    },
)
joined(
    "two_doses_in_file",
    "another dose of another ewe first, then this one, in one file",
    lambda s: (
        s.raw(s.note.path, s.note.but(sheep="12", count="1").text + s.note.text)
        if s.tags[0] != "12"
        else s.instead(s.note)
    ),
)

# -- settings, links and hidden places

hidden = family("V7", of="one", price=HOLE)
for word, value in {
    "kind": '"*treatment*"',
    "events": "events",
    "year": "events/2026",
    "ending": '"*.md"',
    "star": '"*"',
    "list": "[events, photos]",
    "exact": "{path}",
    "word": '"*worms*"',
    "deep": '"**/2026/**"',
}.items():
    hidden(
        f"skip_{word}",
        f"`skip: {value}` in flock.yaml",
        using(
            value,
            lambda s, v: {
                s.note.path: s.note.text,
                "flock.yaml": f"{s.settings}skip: {v.format(path=s.note.path)}\n",
            },
        ),
    )
hidden(
    "settings_output",
    "`output: events` in flock.yaml",
    lambda s: {s.note.path: s.note.text, "flock.yaml": f"{s.settings}output: events\n"},
)
hidden(
    "settings_broken",
    "flock.yaml with a stray bracket",
    lambda s: {s.note.path: s.note.text, "flock.yaml": f"{s.settings}skip: [\n"},
)
hidden(
    "link_to_hidden",
    "a link in events leads into a hidden folder",
    lambda s: {**dict.fromkeys(s.paths), f".phone/{s.note.file}": s.note.text, "events/phone": Link("../.phone")},
)
hidden(
    "link_to_file",
    "a link in events leads to a file in a hidden folder",
    lambda s: {
        **dict.fromkeys(s.paths),
        f".phone/{s.note.file}": s.note.text,
        s.note.path: Link(f"../../.phone/{s.note.file}"),
    },
)
hidden(
    "link_broken",
    "a link of the note's name leads nowhere",
    lambda s: {
        **dict.fromkeys(s.paths),
        f"events/2026/{s.dose.at:%Y-%m-%d} treatment {s.tags[0].replace('/', '-')}.md": Link("../lost.md"),
    },
)

HEADLESS = family("V7", of="one_named", price=HOLE)
for word, file in {
    "words": "{day:%d %b %Y} treatment {name}.md",
    "plain": "{day:%Y-%m-%d} treatment {name}.md",
    "kind_last": "{day:%Y-%m-%d} {name} treatment.md",
    "dosed": "{day:%Y-%m-%d} dosed {name}.md",
    "verb": "{day:%Y-%m-%d} {name} dosed.md",
    "drench": "{day:%Y-%m-%d} drench {name}.md",
    "day_first": "{day:%d-%m-%Y} treatment {name}.md",
    "no_day": "treatment {name}.md",
    "name_only": "{name} treatment.md",
    "small": "{day:%Y-%m-%d} treatment {name}.txt",
}.items():
    HEADLESS(
        f"headless_{word}",
        f"no head; the file is `{file}` and says what and how much",
        using(
            file,
            lambda s, f: s.raw(
                f"events/2026/{f.format(day=s.dose.at, name=s.names[0])}", f"{s.dose.medicine} {s.dose.ml}\n"
            ),
        ),
    )
    HEADLESS(
        f"headless_fields_{word}",
        f"no fences; the file is `{file}`, its lines are the head's",
        using(
            file,
            lambda s, f: s.raw(
                f"events/2026/{f.format(day=s.dose.at, name=s.names[0])}",
                s.bare.but(note=None).text.replace("---\n", ""),
            ),
        ),
    )

FOLDERS = family("V7", of="one_named", price=HOLE)
FOLDERS(
    "folder_is_sheep",
    "a folder called Bramble; the note in it names nobody",
    lambda s: s.raw(f"sheep/{s.names[0]}/{s.note.file}", s.bare.text),
)
FOLDERS(
    "folder_is_sheep_and_tag",
    "a folder `C214 Bramble`; the note in it names nobody",
    lambda s: s.raw(f"sheep/{s.tags[0]} {s.names[0]}/{s.note.file}", s.bare.text),
)
FOLDERS(
    "folder_is_day",
    "a folder is the day; the note is `treatment Bramble.md`",
    lambda s: s.raw(f"events/{s.dose.at:%Y-%m-%d}/treatment {s.names[0]}.md", s.bare.text),
)
FOLDERS(
    "folder_is_kind",
    "a folder `treatments`; the note is `2026-06-02 Bramble.md`, without a kind",
    lambda s: s.raw(f"treatments/{s.dose.at:%Y-%m-%d} {s.names[0]}.md", s.bare.but(note=None).text),
)

KINDS = family("V7", of="one", place="file", price=HOLE)
for word, kind in {
    "slip": "treatmnet",
    "slip_two": "traetmnet",
    "unknown": "dosing",
    "drench": "drench",
    "jab": "jab",
    "vet": "vet visit",
    "medicine": "medicine given",
    "capital": "TREATMENT",
    "plural": "treatments",
    "german": "Behandlung",
    "quoted": '"treatment"',
    "curly": "“treatment”",
    "stop": "treatment.",
    "empty": "",
    "two": "treatment, remark",
    "remark": "remark",
    "illness": "illness",
    "job": "job",
    "weighing": "weighing",
    "check": "check",
    "task": "task",
    "move": "move",
    "feeding": "feeding",
    "page": "page",
    "stock": "stock",
    "sale": "sale",
    "egg_count": "egg count",
    "plan": "plan",
    "medicine_kind": "medicine",
    "treated": "treated",
}.items():
    KINDS(f"kind_{word}", f"`note: {kind}`, all else as it should be", reworked("note: treatment", f"note: {kind}"))
KINDS("kind_gone", "no `note:`, the file name still says treatment", reworked("note: treatment\n", ""))
KINDS("kind_key_slip", "`noet: treatment`", reworked("note: treatment", "noet: treatment"))
KINDS("kind_key_kind", "`kind: treatment`", reworked("note: treatment", "kind: treatment"))
KINDS("kind_key_type", "`type: treatment`", reworked("note: treatment", "type: treatment"))
KINDS(
    "kind_both_gone",
    "no `note:`, and a file name without a kind",
    lambda s: {s.path: None, f"{place(s)}/{s.dose.at:%Y-%m-%d} foot.md": s.text.replace("note: treatment\n", "")},
)
KINDS(
    "kind_remark_both",
    "`note: remark`, and a file name that says remark",
    lambda s: {s.path: None, remark_path(s): s.text.replace("note: treatment", "note: remark")},
)


def squeezed(text: str) -> bytes:
    """Bytes as gzip makes them, always the same."""
    import gzip

    return gzip.compress(text.encode(), mtime=0)


@way("V7", of="one", told="the note is a photograph's caption file beside it", price=HOLE)
def caption_file(scene: Scene) -> Patch:
    words = f"{scene.tags[0]} {scene.dose.medicine} {scene.dose.ml} {scene.dose.at:%d %b %Y}\n"
    return {**dict.fromkeys(scene.paths), "photos/IMG_2041.txt": words}


@way("V7", of="one", told="a calendar entry saved among the notes", price=HOLE)
def calendar_file(scene: Scene) -> Patch:
    summary = f"SUMMARY:treatment {scene.tags[0]} {scene.dose.medicine} {scene.dose.ml}\n"
    body = f"{summary}DTSTART:{scene.dose.at:%Y%m%dT%H%M}00\n"
    return scene.raw("events/2026/dose.ics", f"BEGIN:VCALENDAR\nBEGIN:VEVENT\n{body}END:VEVENT\nEND:VCALENDAR\n")


@way("V7", of="one", told="a mail to the vet, saved with its headers", price=HOLE)
def mail_file(scene: Scene) -> Patch:
    head = f"From: una@example.org\nDate: {scene.dose.at:%d %b %Y}\nSubject: {scene.tags[0]}\n\n"
    return scene.raw(
        "events/2026/mail.txt", f"{head}Gave {scene.tags[0]} {scene.dose.ml} of {scene.dose.medicine} today.\n"
    )
