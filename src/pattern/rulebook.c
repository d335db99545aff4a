/* The rules of play as numbers. Each row says where it was read; what is beside a number as "from
 * memory" or "unconfirmed" was not found in a text. */
#include "pattern/rulebook.h"

#include "ground/units.h"

#include <stdbool.h>
#include <string.h>

/* How much wider apart strands may lie in the middle third than in either outer third. No rule
 * gives a number: this one is ours. */
#define CENTRE_PERCENT 10

/* ITF Rules of Tennis, Appendix II (b) and (c), read in a copy without an edition; it names player
 * analysis technology, so it is from 2014 or later (that dating from memory). SI units come before
 * inches there: 29.0 in are 736.6 mm, 12.5 in are 317.5 mm, 15.5 in are 393.7 mm, 11.5 in are
 * 292.1 mm; an older text, before 2000 or so (unconfirmed), has those in place of the round
 * numbers. One layer of crossed strings: Rule 4, cases 1 and 2; dampers: case 3. */
static const char *const untold_tennis[] = {"even spacing", "flatness", "both faces alike",
                                            "dampers", NULL};

/* WSF Rules of Squash, appendix on the dimensions of a racket, read in a copy without an edition
 * that counts it as appendix 9; the WSF court specifications of May 2003 have the same numbers as
 * appendix 4. Construction (f) and (g) were read in a Portuguese text. That strings let no ball of
 * 50 mm pass was read in one paraphrase only, is unconfirmed, and is not judged. */
static const char *const untold_squash[] = {
    "mass", "width and depth of the frame", "edges", "recessed strings", "even pattern", NULL};

/* BWF Laws of Badminton, Laws 4.1 and 4.2, read in a federation's copy of the present Laws and in
 * an older text; the official one was not seen. "Generally uniform" and "not less dense in the
 * centre" stand in older texts and are gone from the copy of the present one: no `centre` here. So
 * is a head of 290 mm at the most. */
static const char *const untold_badminton[] = {
    "flatness", "even spacing and density (in older texts only)", NULL};

/* USA Racquetball Rules, Rule 2.4 (b), present text; strings by 2.4 (d) of an older text. */
static const char *const untold_racquetball[] = {"marks left on the ball", NULL};

static const struct rulebook books[] = {
    {
        .sport = "tennis",
        .document = "ITF Rules of Tennis",
        .edition = "undated copy",
        .bed = "hitting surface",
        .length = {737, "Appendix II (c)"},
        .width = {317, "Appendix II (c)"},
        .bed_length = {394, "Appendix II (b), (c)"},
        .bed_width = {292, "Appendix II (b), (c)"},
        .centre = {CENTRE_PERCENT, "Appendix II (b)"},
        .weave = {0, "Appendix II (b)"},
        .layers = {1, "Rule 4, cases 1 and 2"},
        .untold = untold_tennis,
    },
    {
        .sport = "squash",
        .document = "WSF Rules of Squash",
        .edition = "undated copy, numbers as in 2003",
        .bed = "strung area",
        .length = {686, "racket appendix, dimensions"},
        .width = {215, "racket appendix, dimensions"},
        .area = {500, "racket appendix, dimensions"},
        .strand = {390, "racket appendix, dimensions"},
        .curve = {50, "racket appendix, dimensions"},
        .weave = {0, "racket appendix, construction (g)"},
        .layers = {2, "racket appendix, construction (g)"},
        .material = {0, "racket appendix, construction (f)"},
        .substances = SUBSTANCE_GUT | SUBSTANCE_PLASTIC | SUBSTANCE_CARBON | SUBSTANCE_FIBRE,
        .untold = untold_squash,
    },
    {
        .sport = "badminton",
        .document = "BWF Laws of Badminton",
        .edition = "a federation's copy of the present Laws",
        .bed = "stringed area",
        .length = {680, "Law 4.1"},
        .width = {230, "Law 4.1"},
        .bed_length = {280, "Law 4.2.2"},
        .bed_width = {220, "Law 4.2.2"},
        .throat_length = {330, "Law 4.2.2"},
        .throat_width = {35, "Law 4.2.2"},
        .weave = {0, "Law 4.2.1"},
        .untold = untold_badminton,
    },
    {
        .sport = "racquetball",
        .document = "USA Racquetball Rules",
        .edition = "present text",
        .bed = "strung area",
        .length = {22 * MM_PER_INCH, "Rule 2.4 (b), 22 in"},
        .material = {0, "Rule 2.4 (d)"},
        .material_edition = "an older text",
        .substances = SUBSTANCE_GUT | SUBSTANCE_PLASTIC | SUBSTANCE_CARBON | SUBSTANCE_METAL,
        .untold = untold_racquetball,
    },
};

const struct rulebook *rulebook_of(const char *sport) {
    for (size_t i = 0; sport != NULL && i < sizeof books / sizeof *books; i++)
        if (strcmp(books[i].sport, sport) == 0) return &books[i];
    return NULL;
}

static enum substance substance_of_word(const char *word, size_t length) {
    static const struct {
        const char *word;
        enum substance substance;
    } rows[] = {
        {"gut", SUBSTANCE_GUT},
        {"nylon", SUBSTANCE_PLASTIC},
        {"polyamide", SUBSTANCE_PLASTIC},
        {"polyester", SUBSTANCE_PLASTIC},
        {"poly", SUBSTANCE_PLASTIC},
        {"polyethylene", SUBSTANCE_PLASTIC},
        {"hmpe", SUBSTANCE_PLASTIC},
        {"plastic", SUBSTANCE_PLASTIC},
        {"polyurethane", SUBSTANCE_PLASTIC},
        {"aramid", SUBSTANCE_PLASTIC},
        {"monofilament", SUBSTANCE_PLASTIC},
        {"synthetic", SUBSTANCE_PLASTIC},
        {"multifilament", SUBSTANCE_PLASTIC},
        {"graphite", SUBSTANCE_CARBON},
        {"carbon", SUBSTANCE_CARBON},
        {"metal", SUBSTANCE_METAL},
        {"steel", SUBSTANCE_METAL},
        {"iron", SUBSTANCE_METAL},
        {"wire", SUBSTANCE_METAL},
        {"titanium", SUBSTANCE_METAL},
        {"tungsten", SUBSTANCE_METAL},
        {"copper", SUBSTANCE_METAL},
        {"brass", SUBSTANCE_METAL},
        {"bronze", SUBSTANCE_METAL},
        {"nickel", SUBSTANCE_METAL},
        {"aluminium", SUBSTANCE_METAL},
        {"aluminum", SUBSTANCE_METAL},
        {"silk", SUBSTANCE_FIBRE},
        {"cotton", SUBSTANCE_FIBRE},
        {"hemp", SUBSTANCE_FIBRE},
        {"linen", SUBSTANCE_FIBRE},
        {"flax", SUBSTANCE_FIBRE},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strlen(rows[i].word) == length && memcmp(rows[i].word, word, length) == 0)
            return rows[i].substance;
    return SUBSTANCE_UNKNOWN;
}

enum substance substance_of(const char *material) {
    enum substance first = SUBSTANCE_UNKNOWN;
    while (*material != '\0') {
        size_t length = strcspn(material, "-");
        enum substance substance = substance_of_word(material, length);
        if (substance == SUBSTANCE_METAL) return substance;
        if (first == SUBSTANCE_UNKNOWN) first = substance;
        material += length + (material[length] == '-');
    }
    return first;
}
