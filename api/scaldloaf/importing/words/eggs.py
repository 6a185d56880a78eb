"""Words behind a number by which eggs and their parts are counted."""

from scaldloaf.importing.words.vocabulary import plain_word

EGG_WORDS = frozenset(
    map(
        plain_word,
        (
            "egg",
            "yolk",
            "white",
            "ei",
            "eier",
            "eigelb",
            "eigelbe",
            "eiern",
            "eigelben",
            "dotter",
            "dottern",
            "eidotter",
            "hefewürfel",
            "eiweiß",
            "卵",
            "全卵",
            "卵黄",
            "卵白",
            "oeuf",
            "oeufs",
            "jaune",
            "blanc",
            "huevo",
            "yema",
            "clara",
            "uovo",
            "uova",
            "tuorlo",
            "tuorli",
            "albume",
            "albumi",
        ),
    )
)
