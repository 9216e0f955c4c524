"""The tables of the database, and its views: each answers a question that a shepherd asks, and is named after it.

Weights in kg, volumes in mL, money in the flock's own currency, days and moments as ISO text, shares 0 to 1; NULL is
what is not known. Every table is STRICT, so that no column holds a value of another type.
"""

from __future__ import annotations

SQL_TABLES = """
CREATE TABLE book (
    flock TEXT NOT NULL, as_of TEXT NOT NULL, units TEXT NOT NULL, currency TEXT
) STRICT;
CREATE TABLE note (
    path TEXT PRIMARY KEY, kind TEXT NOT NULL, day TEXT, time TEXT, written_by TEXT, remark TEXT NOT NULL,
    replaced_by TEXT
) STRICT;
CREATE TABLE sheep (
    id TEXT PRIMARY KEY, tag TEXT, name TEXT, sex TEXT, born TEXT,
    dam TEXT REFERENCES sheep, sire TEXT REFERENCES sheep,
    status TEXT NOT NULL, left_on TEXT, mob TEXT, paddock TEXT, inbreeding REAL, parity INTEGER
) STRICT;
CREATE TABLE note_sheep (
    note TEXT NOT NULL REFERENCES note, sheep TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (note, sheep)
) STRICT, WITHOUT ROWID;
CREATE TABLE possible_sire (
    sheep TEXT NOT NULL REFERENCES sheep, sire TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (sheep, sire)
) STRICT, WITHOUT ROWID;
CREATE TABLE due (
    ewe TEXT NOT NULL REFERENCES sheep, season INTEGER NOT NULL, basis TEXT NOT NULL, earliest TEXT, likely TEXT,
    latest TEXT, lambs_scanned INTEGER
) STRICT;
CREATE TABLE lambing (
    id INTEGER PRIMARY KEY, ewe TEXT REFERENCES sheep, day TEXT, time TEXT, season INTEGER, help INTEGER,
    born INTEGER, alive INTEGER, gestation_days INTEGER, note TEXT NOT NULL REFERENCES note
) STRICT;
CREATE TABLE lambing_lamb (
    lambing INTEGER NOT NULL REFERENCES lambing, lamb TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (lambing, lamb)
) STRICT, WITHOUT ROWID;
CREATE TABLE weight (
    sheep TEXT NOT NULL REFERENCES sheep, day TEXT NOT NULL, kg REAL NOT NULL
) STRICT;
CREATE TABLE growth (
    sheep TEXT PRIMARY KEY REFERENCES sheep, birth_kg REAL, gain_kg_a_day REAL, adjusted_kg REAL,
    target_age_days INTEGER
) STRICT;
CREATE TABLE treatment (
    note TEXT PRIMARY KEY REFERENCES note, day TEXT, medicine TEXT, total_ml REAL, keep_record_until TEXT
) STRICT;
CREATE TABLE treatment_sheep (
    note TEXT NOT NULL REFERENCES treatment, sheep TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (note, sheep)
) STRICT, WITHOUT ROWID;
CREATE TABLE clearance (
    sheep TEXT PRIMARY KEY REFERENCES sheep, meat TEXT NOT NULL, meat_until TEXT, meat_words TEXT NOT NULL,
    milk TEXT NOT NULL, milk_until TEXT, milk_words TEXT NOT NULL,
    CHECK (meat IN ('clear', 'ask', 'held', 'unknown')), CHECK (milk IN ('clear', 'ask', 'held', 'unknown'))
) STRICT;
CREATE TABLE clearance_reason (
    sheep TEXT NOT NULL REFERENCES clearance, rule TEXT NOT NULL, words TEXT NOT NULL, note TEXT REFERENCES note,
    line INTEGER
) STRICT;
CREATE TABLE going (
    sheep TEXT NOT NULL REFERENCES sheep, answer TEXT NOT NULL, words TEXT NOT NULL, note TEXT REFERENCES note
) STRICT;
CREATE TABLE illness (
    sheep TEXT NOT NULL REFERENCES sheep, problem TEXT, since TEXT NOT NULL, recovered TEXT, open INTEGER NOT NULL,
    sample TEXT, result TEXT, CHECK (open IN (0, 1))
) STRICT;
CREATE TABLE season (
    season INTEGER NOT NULL, exposed INTEGER, lambed INTEGER, born INTEGER, alive INTEGER, weaned INTEGER,
    helped INTEGER, running INTEGER NOT NULL, month INTEGER, UNIQUE (season, month)
) STRICT;
CREATE TABLE season_money (
    season INTEGER PRIMARY KEY, income REAL, costs REAL, margin REAL, per_ewe_exposed REAL
) STRICT;
CREATE TABLE movement (
    id INTEGER PRIMARY KEY, day TEXT, way TEXT NOT NULL, head INTEGER, party TEXT, document TEXT, holding TEXT,
    haulier TEXT, vehicle TEXT, note TEXT REFERENCES note, CHECK (way IN ('on', 'off'))
) STRICT;
CREATE TABLE movement_sheep (
    movement INTEGER NOT NULL REFERENCES movement, sheep TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (movement, sheep)
) STRICT, WITHOUT ROWID;
CREATE TABLE reminder (
    id TEXT PRIMARY KEY, day TEXT, what TEXT NOT NULL, kind TEXT NOT NULL, ticked_by TEXT
) STRICT;
CREATE TABLE reminder_sheep (
    reminder TEXT NOT NULL REFERENCES reminder, sheep TEXT NOT NULL REFERENCES sheep, PRIMARY KEY (reminder, sheep)
) STRICT, WITHOUT ROWID;
CREATE TABLE problem (
    code TEXT NOT NULL, grade TEXT NOT NULL, path TEXT NOT NULL, line INTEGER, message TEXT NOT NULL, help TEXT NOT NULL
) STRICT;
CREATE VIRTUAL TABLE search USING fts5 (path, kind, day, sheep, remark, tokenize = 'unicode61 remove_diacritics 2');
"""

SHEEP_SHOWN = "coalesce(s.name || ' (' || s.tag || ')', s.name, s.tag, s.id) AS sheep"
QUESTIONS = {
    "who_is_clear_to_sell": f"""
        SELECT s.id, {SHEEP_SHOWN}, s.mob, (SELECT as_of FROM book) AS as_of
        FROM clearance c JOIN sheep s ON s.id = c.sheep
        WHERE c.meat = 'clear' AND NOT EXISTS (SELECT 1 FROM going g WHERE g.sheep = c.sheep) ORDER BY s.id""",
    "who_is_not_clear_and_until_when": f"""
        SELECT s.id, {SHEEP_SHOWN}, c.meat AS state, c.meat_until AS until, c.meat_words AS words,
            (SELECT group_concat(words, '; ') FROM clearance_reason r WHERE r.sheep = c.sheep) AS why,
            (SELECT as_of FROM book) AS as_of
        FROM clearance c JOIN sheep s ON s.id = c.sheep WHERE c.meat <> 'clear' ORDER BY c.meat_until, s.id""",
    "who_may_not_go_and_why": f"""
        SELECT s.id, {SHEEP_SHOWN}, g.answer, g.words AS why, g.note FROM going g JOIN sheep s ON s.id = g.sheep
        ORDER BY s.id, g.answer""",
    "who_is_due_and_when": f"""
        SELECT s.id, {SHEEP_SHOWN}, d.earliest, d.likely, d.latest, d.lambs_scanned, s.mob, s.paddock
        FROM due d JOIN sheep s ON s.id = d.ewe ORDER BY d.likely, s.id""",
    "what_did_each_ewe_have": f"""
        SELECT s.id, {SHEEP_SHOWN}, l.day, l.time, l.born, l.alive, l.help,
            (SELECT group_concat(lamb, ', ') FROM lambing_lamb x WHERE x.lambing = l.id) AS lambs, l.note
        FROM lambing l JOIN sheep s ON s.id = l.ewe ORDER BY s.id, l.day""",
    "who_is_whose": f"""
        SELECT s.id, {SHEEP_SHOWN}, s.sex, s.born, s.dam, s.sire,
            (SELECT group_concat(sire, ', ') FROM possible_sire p WHERE p.sheep = s.id) AS sires_possible
        FROM sheep s ORDER BY s.id""",
    "how_do_the_lambs_grow": f"""
        SELECT s.id, {SHEEP_SHOWN}, s.sex, s.born, s.dam, g.birth_kg, g.gain_kg_a_day, g.adjusted_kg, g.target_age_days
        FROM growth g JOIN sheep s ON s.id = g.sheep WHERE g.gain_kg_a_day IS NOT NULL
        ORDER BY g.gain_kg_a_day DESC, s.id""",
    "what_was_each_treated_with": f"""
        SELECT s.id, {SHEEP_SHOWN}, t.day, t.medicine, t.note FROM treatment_sheep x JOIN treatment t ON t.note = x.note
        JOIN sheep s ON s.id = x.sheep ORDER BY s.id, t.day""",
    "who_is_ill": f"""
        SELECT s.id, {SHEEP_SHOWN}, i.problem, i.since, i.result FROM illness i JOIN sheep s ON s.id = i.sheep
        WHERE i.open ORDER BY i.since, s.id""",
    "who_is_where": f"""
        SELECT s.mob, s.paddock, s.id, {SHEEP_SHOWN} FROM sheep s WHERE s.status = 'alive' ORDER BY s.mob, s.id""",
    "what_is_to_be_done": """
        SELECT r.day, r.what, (SELECT group_concat(sheep, ', ') FROM reminder_sheep x WHERE x.reminder = r.id) AS sheep,
            r.ticked_by FROM reminder r ORDER BY r.day, r.id""",
    "how_did_each_season_go": """
        SELECT s.*, m.income, m.costs, m.margin FROM season s LEFT JOIN season_money m ON m.season = s.season
        ORDER BY s.season""",
}
