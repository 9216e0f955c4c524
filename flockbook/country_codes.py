"""Countries by their two letters and their three digits (ISO 3166-1), as official and electronic tags carry them."""

from __future__ import annotations

# ISO 3166-1 alpha-2 and numeric, all 249 entries; compared in the tests with an independent copy of the standard.
_ASSIGNED = """
AD020 AE784 AF004 AG028 AI660 AL008 AM051 AO024 AQ010 AR032 AS016 AT040 AU036 AW533 AX248 AZ031 BA070 BB052
BD050 BE056 BF854 BG100 BH048 BI108 BJ204 BL652 BM060 BN096 BO068 BQ535 BR076 BS044 BT064 BV074 BW072 BY112
BZ084 CA124 CC166 CD180 CF140 CG178 CH756 CI384 CK184 CL152 CM120 CN156 CO170 CR188 CU192 CV132 CW531 CX162
CY196 CZ203 DE276 DJ262 DK208 DM212 DO214 DZ012 EC218 EE233 EG818 EH732 ER232 ES724 ET231 FI246 FJ242 FK238
FM583 FO234 FR250 GA266 GB826 GD308 GE268 GF254 GG831 GH288 GI292 GL304 GM270 GN324 GP312 GQ226 GR300 GS239
GT320 GU316 GW624 GY328 HK344 HM334 HN340 HR191 HT332 HU348 ID360 IE372 IL376 IM833 IN356 IO086 IQ368 IR364
IS352 IT380 JE832 JM388 JO400 JP392 KE404 KG417 KH116 KI296 KM174 KN659 KP408 KR410 KW414 KY136 KZ398 LA418
LB422 LC662 LI438 LK144 LR430 LS426 LT440 LU442 LV428 LY434 MA504 MC492 MD498 ME499 MF663 MG450 MH584 MK807
ML466 MM104 MN496 MO446 MP580 MQ474 MR478 MS500 MT470 MU480 MV462 MW454 MX484 MY458 MZ508 NA516 NC540 NE562
NF574 NG566 NI558 NL528 NO578 NP524 NR520 NU570 NZ554 OM512 PA591 PE604 PF258 PG598 PH608 PK586 PL616 PM666
PN612 PR630 PS275 PT620 PW585 PY600 QA634 RE638 RO642 RS688 RU643 RW646 SA682 SB090 SC690 SD729 SE752 SG702
SH654 SI705 SJ744 SK703 SL694 SM674 SN686 SO706 SR740 SS728 ST678 SV222 SX534 SY760 SZ748 TC796 TD148 TF260
TG768 TH764 TJ762 TK772 TL626 TM795 TN788 TO776 TR792 TT780 TV798 TW158 TZ834 UA804 UG800 UM581 US840 UY858
UZ860 VA336 VC670 VE862 VG092 VI850 VN704 VU548 WF876 WS882 YE887 YT175 ZA710 ZM894 ZW716
"""

# Tags and farm forms write UK for GB (UK number layout: Country Smallholding, May 2019) and EL for GR (EU practice,
# from memory).
_ON_TAGS = {"UK": 826, "EL": 300}

NUMERIC = {entry[:2]: int(entry[2:]) for entry in _ASSIGNED.split()} | _ON_TAGS
LETTERS = {int(entry[2:]): entry[:2] for entry in _ASSIGNED.split()}
# What countries are called in settings, beside their two letters: those whose law or tags somebody may ask about.
_CALLED = {
    "US": "usa, u.s., u.s.a., united states, united states of america, america",
    "GB": "great britain, united kingdom, england, scotland, wales, northern ireland, britain",
    "IE": "ireland, republic of ireland, eire", "CA": "canada", "AU": "australia", "NZ": "new zealand",
    "AT": "austria", "BE": "belgium", "BG": "bulgaria", "HR": "croatia", "CY": "cyprus",
    "CZ": "czechia, czech republic", "DK": "denmark",
    "EE": "estonia", "FI": "finland", "FR": "france", "DE": "germany", "GR": "greece",
    "HU": "hungary", "IT": "italy", "LV": "latvia", "LT": "lithuania", "LU": "luxembourg", "MT": "malta",
    "NL": "netherlands, the netherlands, holland", "PL": "poland", "PT": "portugal", "RO": "romania", "SK": "slovakia",
    "SI": "slovenia", "ES": "spain", "SE": "sweden", "NO": "norway", "CH": "switzerland", "IS": "iceland",
}  # fmt: skip
CODE_CALLED = {name: code for code, names in _CALLED.items() for name in names.split(", ")}
EUROPEAN_UNION = frozenset(_CALLED) - {"US", "GB", "CA", "AU", "NZ", "NO", "CH", "IS"}
# The countries that `country` may name; of any other the book says that it knows nothing.
LISTED = EUROPEAN_UNION | {"US", "GB", "CA", "AU", "NZ"}
# What a message names: the countries of the law that the book's sources speak of.
VALID = "US, GB (or England, Wales, Scotland, Northern Ireland), IE, another country of the EU, CA, AU, NZ"


def country_code(text: str) -> str:
    """The two letters (ISO 3166) of a country as somebody typed it, by letters or by name; "" for none."""
    plain = " ".join(text.casefold().split())
    letters = LETTERS.get(NUMERIC.get(plain.upper(), 0), "")
    return letters or CODE_CALLED.get(plain, "")
