"""What pages write around a list, in each language: for ``layouts.py``."""

COMMA_LANGUAGES = frozenset(("de", "es", "fr", "it"))
FRACTIONS = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/3": "⅓", "2/3": "⅔"}
GRAMS = {
    "de": ("Gramm", "gr", "gr.", "G"),
    "en": ("grams", "gr", "gms", "G"),
    "es": ("gramos", "gr", "gr.", "grs"),
    "fr": ("grammes", "gr", "gr.", "G"),
    "it": ("grammi", "gr", "gr.", "g."),
    "ja": ("グラム", "ｇ", "G", "㌘"),
    "zh-Hans": ("克", "公克", "G", "ｇ"),
    "zh-Hant": ("克", "公克", "G", "ｇ"),
}
# The scald, the dough and what is beside it, as headings; an ingredient list; heads of a table.
WORDS: dict[str, dict[str, tuple[str, ...]]] = {
    "de": {
        "scald": ("Tangzhong", "Für das Kochstück", "Mehlkochstück", "Brühstück:", "Zutaten Tangzhong"),
        "dough": ("Hauptteig", "Für den Teig", "Teig", "Hauptteig:", "Zutaten Hauptteig"),
        "aside": ("Zum Bestreichen", "Außerdem", "Topping", "Zum Bestreichen:", "Zutaten Füllung"),
        "heads": ("Zutat", "Menge", "Teil"),
        "list": ("Zutaten",),
    },
    "en": {
        "scald": ("Tangzhong", "For the tangzhong", "Water roux", "Yudane:", "Tangzhong ingredients"),
        "dough": ("Dough", "For the dough", "Main dough", "Bread dough:", "Dough ingredients"),
        "aside": ("Egg wash", "For the topping", "Filling", "Topping:", "Topping ingredients"),
        "heads": ("Ingredient", "Amount", "Part"),
        "list": ("Ingredients",),
    },
    "es": {
        "scald": ("Tangzhong", "Para el tangzhong", "Tang zhong", "Water roux:", "Ingredientes tangzhong"),
        "dough": ("Masa", "Para la masa", "Masa final", "Masa:", "Ingredientes masa"),
        "aside": ("Para pintar", "Para decorar", "Decoración", "Relleno:", "Para la cobertura"),
        "heads": ("Ingrediente", "Cantidad", "Parte"),
        "list": ("Ingredientes",),
    },
    "fr": {
        "scald": ("Tangzhong", "Pour le tangzhong", "Tang zhong", "Water roux :", "Ingrédients tangzhong"),
        "dough": ("Pâte", "Pour la pâte", "Pâte à pain", "Pâte finale :", "Ingrédients pâte"),
        "aside": ("Dorure", "Pour la dorure", "Finition", "Garniture :", "Pour la garniture"),
        "heads": ("Ingrédient", "Quantité", "Partie"),
        "list": ("Ingrédients",),
    },
    "it": {
        "scald": ("Tangzhong", "Per il tangzhong", "Tang zhong", "Water roux:", "Ingredienti tangzhong"),
        "dough": ("Impasto", "Per l'impasto", "Impasto finale", "Impasto:", "Ingredienti impasto"),
        "aside": ("Per spennellare", "Per la finitura", "Farcitura", "Copertura:", "Per decorare"),
        "heads": ("Ingrediente", "Quantità", "Parte"),
        "list": ("Ingredienti",),
    },
    "ja": {
        "scald": ("湯種", "【湯種】", "湯種の材料", "湯種:", "◆湯種"),
        "dough": ("生地", "【本ごね】", "パン生地の材料", "本生地:", "◆パン生地"),
        "aside": ("仕上げ", "【トッピング】", "仕上げ用", "トッピング:", "◆仕上げ"),
        "heads": ("材料", "分量", "区分"),
        "list": ("材料",),
    },
    "zh-Hans": {
        "scald": ("汤种", "【汤种】", "汤种材料", "汤种:", "一、汤种"),
        "dough": ("主面团", "【主面团】", "主面团材料", "主面团:", "二、主面团"),
        "aside": ("装饰", "【表面装饰】", "馅料", "表面:", "三、馅料"),
        "heads": ("材料", "用量", "部分"),
        "list": ("材料",),
    },
    "zh-Hant": {
        "scald": ("湯種", "【湯種】", "湯種材料", "湯種:", "一、湯種"),
        "dough": ("主麵團", "【主麵團】", "主麵團材料", "主麵團:", "二、主麵團"),
        "aside": ("裝飾", "【表面裝飾】", "餡料", "表面:", "三、餡料"),
        "heads": ("材料", "份量", "部分"),
        "list": ("材料",),
    },
}
# Of the scald, in the method: part of the flour with part of the liquid.
SAID = {
    "de": "Für den Tangzhong {f} g vom Mehl mit {l} verrühren und erhitzen, bis die Masse andickt.",
    "en": "Make the tangzhong: whisk {f} g of the flour with {l} in a pan and cook, stirring, until thick.",
    "es": "Para el tangzhong, mezclar {f} g de la harina con {l} y cocer a fuego lento hasta que espese.",
    "fr": "Pour le tangzhong, mélanger {f} g de la farine avec {l} et faire épaissir à feu doux en remuant.",
    "it": "Per il tangzhong, mescolare {f} g della farina con {l} e cuocere a fuoco basso finché si addensa.",
    "ja": "湯種を作る。強力粉のうち{f}gと{l}を鍋に入れ、混ぜながら65℃まで加熱する。",
    "zh-Hans": "制作汤种:取{f}克高筋面粉和{l}放入锅中,小火边煮边搅拌至浓稠。",
    "zh-Hant": "製作湯種:取{f}克高筋麵粉和{l}放入鍋中,小火邊煮邊攪拌至濃稠。",
}
LIQUIDS = {
    "de": ("{g} g Wasser", "{g} g Milch"),
    "en": ("{g} g of the water", "{g} g of the milk"),
    "es": ("{g} g de agua", "{g} g de leche"),
    "fr": ("{g} g d'eau", "{g} g de lait"),
    "it": ("{g} g di acqua", "{g} g di latte"),
    "ja": ("水{g}g", "牛乳{g}g"),
    "zh-Hans": ("{g}克水", "{g}克牛奶"),
    "zh-Hant": ("{g}克水", "{g}克牛奶"),
}
# Of a recipe told in sentences: how the scald is made, and two steps of the dough.
TOLD = {
    "de": (
        "Für den Tangzhong {} verrühren und erhitzen, bis die Masse andickt.",
        "{} in einer Schüssel mischen.",
        "Dann {} zugeben und kneten.",
    ),
    "en": (
        "For the tangzhong, whisk {} in a pan and cook, stirring, until thick.",
        "Mix {} in a bowl.",
        "Add {} and knead.",
    ),
    "es": (
        "Para el tangzhong, mezclar {} y cocer a fuego lento hasta que espese.",
        "Mezclar {} en un bol.",
        "Añadir {} y amasar.",
    ),
    "fr": (
        "Pour le tangzhong, mélanger {} et faire épaissir à feu doux en remuant.",
        "Mélanger {} dans un saladier.",
        "Ajouter {} et pétrir.",
    ),
    "it": (
        "Per il tangzhong, mescolare {} e cuocere a fuoco basso finché si addensa.",
        "Mescolare {} in una ciotola.",
        "Aggiungere {} e impastare.",
    ),
    "ja": (
        "湯種を作る。{}を鍋に入れ、混ぜながら65℃まで加熱する。",
        "ボウルに{}を入れて混ぜる。",
        "{}を加えてこねる。",
    ),
    "zh-Hans": ("制作汤种:将{}放入锅中,小火边煮边搅拌至浓稠。", "将{}放入碗中混合。", "加入{}揉成面团。"),
    "zh-Hant": ("製作湯種:將{}放入鍋中,小火邊煮邊攪拌至濃稠。", "將{}放入碗中混合。", "加入{}揉成麵團。"),
}
AND = {"de": " und ", "en": " and ", "es": " y ", "fr": " et ", "it": " e "}
ABOUT = {  # what stands around a list on a page
    "de": (
        "Portionen: 12",
        "Zubereitungszeit: 30 Minuten",
        "Backzeit: 35 Min.",
        "Kalorien: 245 kcal",
        "Anzeige",
    ),
    "en": (
        "Servings: 12",
        "Prep time: 30 minutes",
        "Cook time: 35 mins",
        "Calories: 245 kcal",
        "Advertisement",
    ),
    "es": (
        "Raciones: 12",
        "Tiempo de preparación: 30 minutos",
        "Dificultad: media",
        "Calorías: 245 kcal",
        "Publicidad",
    ),
    "fr": (
        "Portions : 12",
        "Préparation : 30 minutes",
        "Cuisson : 35 min",
        "Calories : 245 kcal",
        "Publicité",
    ),
    "it": (
        "Porzioni: 12",
        "Tempo di preparazione: 30 minuti",
        "Cottura: 35 min",
        "Calorie: 245 kcal",
        "Pubblicità",
    ),
    "ja": ("分量: 1斤分", "調理時間: 30分", "焼き時間: 35分", "カロリー: 245kcal", "広告"),
    "zh-Hans": ("份量: 12人份", "准备时间: 30分钟", "烘烤时间: 35分钟", "热量: 245千卡", "广告"),
    "zh-Hant": ("份量: 12人份", "準備時間: 30分鐘", "烘烤時間: 35分鐘", "熱量: 245大卡", "廣告"),
}
PAGE = {  # what a page has above a list, and below it without a heading
    "de": (
        ("Milchbrot vom Hafen", "Ein weiches Brot, das tagelang frisch bleibt.", "Kategorie: Brot"),
        (
            "Die Hefe in der Milch auflösen und fünf Minuten warten.",
            "Den Teig gehen lassen, bis er sich verdoppelt hat.",
            "Vor dem Anschneiden ganz auskühlen lassen.",
        ),
    ),
    "en": (
        ("Harbour Milk Loaf", "A soft loaf that keeps for days.", "Course: Bread"),
        (
            "Add the yeast to the milk and wait five minutes.",
            "Let the dough rise until it has doubled.",
            "Leave the loaf to cool before you slice it. Enjoy!",
        ),
    ),
    "es": (
        ("Pan de leche del puerto", "Un pan tierno que dura varios días.", "Categoría: pan"),
        (
            "Añadir la levadura a la leche y esperar cinco minutos.",
            "Dejar levar la masa hasta que doble su volumen.",
            "Esperar a que el pan se enfríe antes de cortarlo.",
        ),
    ),
    "fr": (
        ("Pain au lait du port", "Un pain moelleux qui se garde plusieurs jours.", "Catégorie : pain"),
        (
            "Ajouter la levure au lait et attendre cinq minutes.",
            "Laisser lever la pâte jusqu'à ce qu'elle ait doublé de volume.",
            "Attendre que le pain refroidisse avant de le trancher.",
        ),
    ),
    "it": (
        ("Pane al latte del porto", "Un pane morbido che dura diversi giorni.", "Categoria: pane"),
        (
            "Aggiungere il lievito al latte e aspettare cinque minuti.",
            "Lasciar lievitare l'impasto fino al raddoppio.",
            "Aspettare che il pane si raffreddi prima di tagliarlo.",
        ),
    ),
    "ja": (
        ("港のミルク食パン", "何日もやわらかいパンです。", "カテゴリー：パン"),
        (
            "イーストを牛乳に入れて待ちます。",
            "生地が倍になるまで発酵させます。",
            "パンが冷めてから切ります。",
        ),
    ),
    "zh-Hans": (
        ("海港牛奶吐司", "松软可口，放几天也不硬。", "分类：面包"),
        ("把酵母放进牛奶里静置片刻。", "面团发酵至两倍大。", "面包放凉后再切片。"),
    ),
    "zh-Hant": (
        ("海港牛奶吐司", "鬆軟可口，放幾天也不硬。", "分類：麵包"),
        ("把酵母放進牛奶裡靜置片刻。", "麵糰發酵至兩倍大。", "麵包放涼後再切片。"),
    ),
}
