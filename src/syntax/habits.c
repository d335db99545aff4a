/* Habits, in the order in which they are looked for: first what depends on where a word stands,
 * then words that are known by themselves. */
#include "syntax/habits.h"

#include "ground/nearest.h"

#include <string.h>

static const struct advice no_advice = {0};

static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
static bool is_digit(char c) { return c >= '0' && c <= '9'; }
static bool is_small(char c) { return c >= 'a' && c <= 'z'; }
static bool is_letter(char c) { return is_small(c) || (c >= 'A' && c <= 'Z'); }
static bool is_in_word(char c) { return is_letter(c) || is_digit(c) || c == '-' || c == '_'; }

static bool same(const char *a, const char *b) { return strcmp(a, b) == 0; }

bool misfit_expects(const struct misfit *m, const char *what) {
    for (size_t i = 0; i < m->count; i++)
        if (same(m->expected[i], what)) return true;
    return false;
}

static bool expects_hole(const struct misfit *m) { return misfit_expects(m, "a hole (7H, 7T)"); }
static bool expects_strand(const struct misfit *m) {
    return misfit_expects(m, "a strand (M1, C1)");
}

static const char *skip_blanks(const char *text) {
    while (is_blank(*text))
        text++;
    return text;
}

size_t word_at_start(const char *text, const char *word) {
    size_t length = strlen(word);
    return strncmp(text, word, length) == 0 && !is_in_word(text[length]) ? length : 0;
}

size_t unquoted_length(const char *text, const char *end_word) {
    size_t end = 0;
    while (text[end] != '\0' && strchr("{}#;\"", text[end]) == NULL) {
        bool begins = end == 0 || !is_in_word(text[end - 1]);
        if (end_word != NULL && begins && word_at_start(text + end, end_word) > 0) break;
        end++;
    }
    while (end > 0 && is_blank(text[end - 1]))
        end--;
    return end;
}

/* ---- places ---- */

/* The word and so much of what follows it. */
static struct span with_rest(const struct misfit *m, const char *end) {
    return (struct span){m->span.start, m->span.end + (uint32_t)(end - m->rest)};
}

/* Between the word before and this one, which stand in one line; no place where they do not. */
static struct span behind_before(const struct misfit *m) {
    uint32_t at = m->syntax->previous.end;
    const char *bytes = m->syntax->source->bytes - m->syntax->source->base;
    for (uint32_t i = at; i < m->span.start; i++)
        if (!is_blank(bytes[i])) return (struct span){0};
    return (struct span){at, at};
}

static struct span before_and_word(const struct misfit *m) {
    struct span gap = behind_before(m);
    return span_given(gap) ? span_join(m->syntax->previous, m->span) : gap;
}

#define WORDS(...) format(m->syntax->arena, __VA_ARGS__)

static struct advice insert(const struct misfit *m, const char *help, const char *text, bool safe) {
    return (struct advice){NULL, help, text, behind_before(m), safe};
}

static struct advice replace(const struct misfit *m, const char *help, const char *text,
                             bool safe) {
    return (struct advice){NULL, help, text, m->span, safe};
}

static struct advice only_help(const char *help) { return (struct advice){.help = help}; }

/* ---- holes and strands ---- */

static bool is_hole(const char *word) {
    size_t digits = strspn(word, "0123456789");
    return digits > 0 && (word[digits] == 'H' || word[digits] == 'T') && word[digits + 1] == '\0';
}

/* "6 H": a hole in two words; "6" alone. */
static struct advice number_for_hole(const struct misfit *m) {
    if (!is_digit(m->word[0]) || !expects_hole(m)) return no_advice;
    const char *letter = skip_blanks(m->rest);
    bool known = *letter != '\0' && strchr("HTht", *letter) != NULL && !is_in_word(letter[1]);
    if (!known)
        return only_help(WORDS("a hole is written in one word: %sH or %sT", m->word, m->word));
    const char *meant = WORDS("%s%c", m->word, *letter == 'H' || *letter == 'h' ? 'H' : 'T');
    return (struct advice){NULL, WORDS("a hole is written in one word: %s", meant), meant,
                           with_rest(m, letter + 1), true};
}

/* The length of a strand in small letters; 0 where there is none. */
static size_t small_strand(const char *text) {
    if (text[0] != 'm' && text[0] != 'c') return 0;
    size_t length = 1 + strspn(text + 1, "0123456789");
    return length > 1 && !is_in_word(text[length]) ? length : 0;
}

/* "c1..c19": both ends at once. */
static struct advice strand_in_small_letters(const struct misfit *m) {
    if (small_strand(m->word) == 0 || !expects_strand(m)) return no_advice;
    size_t other = strncmp(m->rest, "..", 2) == 0 ? small_strand(m->rest + 2) : 0;
    const char *meant = WORDS("%c%s%s%.*s", m->word[0] == 'm' ? 'M' : 'C', m->word + 1,
                              other == 0          ? ""
                              : m->rest[2] == 'm' ? "..M"
                                                  : "..C",
                              other == 0 ? 0 : (int)other - 1, other == 0 ? "" : m->rest + 3);
    return (struct advice){NULL, WORDS("a strand is written with a capital: %s", meant), meant,
                           with_rest(m, m->rest + (other == 0 ? 0 : 2 + other)), true};
}

/* ---- runs ---- */

static struct advice run_in_words(const struct misfit *m) {
    static const char *const help = "a range is written with two points: 20..28 lb, M1..M6";
    bool minus = same(m->word, "-");
    if (minus && misfit_expects(m, "..")) return replace(m, help, "..", true);
    if (minus && misfit_expects(m, "a number"))
        return only_help("a length or a tension is never below zero: leave the - out");
    bool to = same(m->word, "to") || same(m->word, "through") || same(m->word, "until");
    if (!to || !misfit_expects(m, "..")) return no_advice;
    struct span gap = behind_before(m);
    if (!span_given(gap)) return only_help(help);
    return (struct advice){NULL, help, "..", span_join(gap, with_rest(m, skip_blanks(m->rest))),
                           true};
}

/* ---- commas ---- */

static struct advice comma_left_out(const struct misfit *m) {
    if (!misfit_expects(m, ",")) return no_advice;
    static const char *const begin[] = {"taper", "skip", "thread", "pull", "tie", "start"};
    bool due = same(m->head, "one") && same(m->word, "long");
    due |= same(m->before, "wide") && is_digit(m->word[0]);
    for (size_t i = 0; i < sizeof begin / sizeof *begin; i++)
        due |= same(m->word, begin[i]);
    return due ? insert(m, WORDS("put a comma before %s", m->word), ",", true) : no_advice;
}

static struct advice comma_too_many(const struct misfit *m) {
    if (!same(m->before, ",") || !same(m->word, "then")) return no_advice;
    return (struct advice){NULL, "no comma stands before then: pull 3 ahead then 2", " then",
                           before_and_word(m), true};
}

/* ---- knots ---- */

static struct advice knot(const struct misfit *m) {
    if (same(m->before, "tie") && expects_hole(m)) {
        static const char *const between[] = {"off", "at", "in", "on", "to"};
        const char *at = m->word;
        bool any = false;
        for (size_t i = 0; i < sizeof between / sizeof *between; i++)
            any |= same(at, between[i]);
        if (!any) return no_advice;
        at = skip_blanks(m->rest);
        for (size_t i = 1; i < sizeof between / sizeof *between; i++) {
            size_t length = word_at_start(at, between[i]);
            if (length > 0) at = skip_blanks(at + length);
        }
        return (struct advice){NULL, "a leg ends with: tie 6H", "", with_rest(m, at), true};
    }
    if (same(m->word, "knot") && misfit_expects(m, "tie")) {
        const char *at = skip_blanks(m->rest);
        if (word_at_start(at, "at") > 0) at = skip_blanks(at + 2);
        return (struct advice){NULL, "a leg ends with: tie 6H", "tie ", with_rest(m, at), true};
    }
    bool side = same(m->word, "left") || same(m->word, "right");
    if (side && is_hole(m->before) && !same(m->head, "guide"))
        return (struct advice){NULL,
                               WORDS("the side stands before its hole: %s %s", m->word, m->before),
                               WORDS("%s %s", m->word, m->before), before_and_word(m), true};
    return no_advice;
}

/* ---- how lines begin ---- */

static struct advice at_line_start(const struct misfit *m) {
    if (!misfit_expects(m, "inside") || m->before[0] != '\0') return no_advice;
    if (same(m->word, "2") && word_at_start(skip_blanks(m->rest), "pieces") > 0)
        return replace(m, "write: two pieces", "two", true);
    if (same(m->word, "1") && word_at_start(skip_blanks(m->rest), "piece") > 0)
        return replace(m, "write: one piece", "one", true);
    bool pattern = m->syntax->block == BLOCK_PATTERN;
    const char *rest = skip_blanks(m->rest);
    if (same(m->word, "tie") && pattern) {
        char hole[8] = "6H";
        size_t digits = strspn(rest, "0123456789");
        if (digits > 0 && digits < 4 && (rest[digits] == 'H' || rest[digits] == 'T')) {
            memcpy(hole, rest, digits + 1);
            hole[digits + 1] = '\0';
        }
        return only_help(WORDS("a knot belongs to a leg: put a comma before it, at the end of the "
                               "line above, or write: long tie %s",
                               hole));
    }
    if (same(m->word, "tie"))
        return only_help("the frame's holes with room for a knot are listed with: tie-off 5T, 6H");
    bool strand = (m->word[0] == 'M' || m->word[0] == 'C') && is_digit(m->word[1]);
    bool item = same(m->word, "thread") || same(m->word, "pull") || same(m->word, "start");
    if (pattern && (strand || item))
        return only_help(WORDS("a leg begins with its end: long %s ...", m->word));
    return no_advice;
}

/* ---- lines that are written otherwise ---- */

static size_t number_length(const char *text) {
    size_t length = strspn(text, "0123456789");
    if (length > 0 && text[length] == '.') length += 1 + strspn(text + length + 1, "0123456789");
    return length;
}

static size_t letters_length(const char *text) {
    size_t length = 0;
    while (is_small(text[length]))
        length++;
    return length;
}

/* "inside 245 x 335 mm", as it stands in the text: what it would be. */
static struct advice inside_as_product(const struct misfit *m) {
    bool product = same(m->word, "x") || same(m->word, "by") || same(m->word, "*");
    if (!same(m->head, "inside") || !product) return no_advice;
    const struct source *source = m->syntax->source;
    uint32_t start = m->syntax->first.end;
    const char *line = source->bytes + (start - source->base);
    const char *width = skip_blanks(line);
    size_t width_length = number_length(width);
    const char *length = skip_blanks(m->rest);
    size_t length_length = number_length(length);
    const char *unit = skip_blanks(length + length_length);
    size_t unit_length = letters_length(unit);
    if (width_length == 0 || length_length == 0 || unit_length == 0)
        return only_help("write: inside 245 mm wide, 335 mm long");
    const char *meant =
        WORDS("%.*s %.*s wide, %.*s %.*s long", (int)width_length, width, (int)unit_length, unit,
              (int)length_length, length, (int)unit_length, unit);
    struct span place = {start + (uint32_t)(width - line), with_rest(m, unit + unit_length).end};
    return (struct advice){NULL, WORDS("write: inside %s", meant), meant, place, false};
}

/* What `crosses top down` and the like mean. */
static struct advice crosses_in_words(const struct misfit *m) {
    bool cross = same(m->head, "cross") && same(m->before, "cross") && same(m->word, "from");
    if (cross && strchr(m->rest, ',') != NULL)
        return only_help("where an end enters stands behind its first strand: C1 from left");
    if (cross)
        return (struct advice){
            NULL, WORDS("the order of all crosses is said with: crosses from%s", m->rest),
            "crosses", m->syntax->first, true};
    bool crosses =
        (same(m->head, "crosses") || same(m->head, "mains")) && misfit_expects(m, "from");
    bool top = same(m->word, "top"), bottom = same(m->word, "bottom");
    bool place = same(m->word, "head") || same(m->word, "throat");
    if (crosses && place)
        return replace(m, WORDS("write: %s from %s", m->head, m->word), WORDS("from %s", m->word),
                       true);
    if (!crosses || (!top && !bottom)) return no_advice;
    const char *way = skip_blanks(m->rest);
    size_t length = word_at_start(way, top ? "down" : "up");
    const char *meant = top ? "from head" : "from throat";
    return (struct advice){NULL, WORDS("write: %s %s", m->head, meant), meant,
                           length > 0 ? with_rest(m, way + length) : m->span, length > 0};
}

static struct advice tension_as_range(const struct misfit *m) {
    bool comma = same(m->word, ",") && same(m->head, "tension");
    if (!comma) return no_advice;
    const struct source *source = m->syntax->source;
    const char *at = source->bytes + (m->syntax->first.end - source->base),
               *end = source->bytes + (m->span.start - source->base);
    while (at + 1 < end && !(at[0] == '.' && at[1] == '.'))
        at++;
    if (at + 1 >= end) return no_advice;
    at = skip_blanks(at + 2);
    return (struct advice){.message = "a pattern gives one tension, not a range",
                           .help = WORDS("write: tension %.*s", (int)(end - at), at)};
}

static struct advice other_lines(const struct misfit *m) {
    if (same(m->head, "clamps") && misfit_expects(m, "fixed"))
        return only_help("clamps are fixed or starting: clamps 2 fixed, 1 starting");
    if (same(m->head, "long") && same(m->before, "long") && same(m->word, "side"))
        return only_help("it stands in the line of the pieces: one piece, long side right");
    if (is_digit(m->word[0]) && word_at_start(skip_blanks(m->rest), "ahead") > 0) {
        bool mains = same(m->head, "mains");
        const char *meant = WORDS("%s %s", mains ? "pull" : "thread", m->word);
        if (misfit_expects(m, "thread"))
            return replace(m, WORDS("write: %s ahead", meant), meant, mains);
    }
    if (same(m->before, "last") && !same(m->word, "pull") && misfit_expects(m, "pulls"))
        return insert(m, "write: last pulls +2 lb", " pulls", same(m->word, "+"));
    if (misfit_expects(m, "on") && same(m->word, "each"))
        return replace(m, "write: on each side", "on each", true);
    if (misfit_expects(m, "on") && (same(m->word, ",") || m->at_end))
        return m->at_end
                   ? only_help(WORDS("write: %s on each side", m->before))
                   : insert(m, WORDS("write: %s on each side", m->before), " on each side", false);
    return no_advice;
}

/* ---- titles and paths without quotes ---- */

static struct advice quotes_left_out(const struct misfit *m) {
    if (m->at_end || !misfit_expects(m, "a title in quotes")) return no_advice;
    bool use = same(m->head, "use"), note = same(m->head, "note");
    bool block = misfit_expects(m, "{") || misfit_expects(m, "for");
    if (!is_letter(m->word[0]) || !(use || note || (block && strchr(m->rest, '{') != NULL)))
        return no_advice;
    size_t length = unquoted_length(m->line, same(m->head, "pattern") ? "for" : NULL);
    const char *meant = WORDS("\"%.*s\"", (int)length, m->line);
    return (struct advice){
        NULL,
        WORDS("put %s in double quotes: %s", use ? "the path" : "a title", meant),
        meant,
        {m->span.start, m->span.start + (uint32_t)length},
        false};
}

/* ---- words known by themselves ---- */

static const struct {
    const char *found, *help, *instead; /* NULL: nobody can tell */
    bool safe;
} words[] = {
    {"one-piece", "write: one piece", "one piece", true},
    {"two-piece", "write: two pieces", "two pieces", true},
    {"two-pieces", "write: two pieces", "two pieces", true},
    {"tie-off", "tie-off lists the frame's holes with room for a knot; a leg ends with: tie 6H",
     "tie", false},
    {"off", "a leg ends with: tie 6H", NULL, false},
    {"sides", "write: on each side", "side", true},
    {"lbs", "write: lb", "lb", true},
    {"kgs", "write: kg", "kg", true},
    {"pounds", "write: lb", "lb", true},
    {"inches", "write: in", "in", true},
    {"inch", "write: in", "in", true},
    {"percent", "write: %", "%", true},
    {"sec", "write: s", "s", true},
    {"secs", "write: s", "s", true},
    {"second", "write: s", "s", true},
    {"seconds", "write: s", "s", true},
    {"bottom", "the place nearest the handle is called throat", "throat", false},
    {"top", "the place farthest from the handle is called head", "head", false},
};

static struct advice known_word(const struct misfit *m) {
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (same(m->word, words[i].found))
            return replace(m, words[i].help, words[i].instead, words[i].safe);
    return no_advice;
}

/* ---- units ---- */

/* Whether a unit can be meant in a line: of its kind; any word that is none can. */
static bool unit_fits(const char *head, const char *word) {
    static const struct {
        const char *head, *units;
    } rows[] = {{"pace", " s "},
                {"density", " g/cm3 "},
                {"pre-stretch", " % "},
                {"tension", " lb kg N % "},
                {"step", " lb kg N "},
                {"stretch", " % lb kg N "},
                {"gauge", " mm cm m in "},
                {"length", " mm cm m in "},
                {"reach", " mm cm m in "},
                {"wall", " mm cm m in "},
                {"inside", " mm cm m in "},
                {"overall", " mm cm m in "},
                {"tape", " mm cm m in "},
                {"outline", " mm cm m in % "}};
    static const char every[] = " mm cm m in lb kg N s % g/cm3 ";
    char padded[16];
    size_t length = strlen(word);
    if (length + 3 > sizeof padded) return true;
    padded[0] = ' ';
    memcpy(padded + 1, word, length);
    memcpy(padded + 1 + length, " ", 2);
    if (strstr(every, padded) == NULL) return true;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (same(head, rows[i].head)) return strstr(rows[i].units, padded) != NULL;
    return true;
}

/* "2 min": times are given in seconds. */
static struct advice minutes(const struct misfit *m) {
    static const char *const spellings[] = {"min", "mins", "minute", "minutes"};
    bool any = false;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        any |= same(m->word, spellings[i]);
    if (!any || !misfit_expects(m, "s") || !same(m->head, "pace")) return no_advice;
    size_t digits = strspn(m->before, "0123456789");
    if (digits == 0 || digits > 3 || m->before[digits] != '\0')
        return only_help("times are given in s");
    int count = 0;
    for (size_t i = 0; i < digits; i++)
        count = 10 * count + (m->before[i] - '0');
    const char *meant = WORDS("%d s", 60 * count);
    return (struct advice){NULL, WORDS("times are given in s: %s", meant), meant,
                           before_and_word(m), false};
}

/* A near word among those that may come; none where as good as nothing of it would be left. */
static struct advice near_word(const struct misfit *m) {
    if (!is_small(m->word[0])) return no_advice;
    const char **near = arena_many(m->syntax->arena, const char *, m->count + 1);
    size_t count = 0;
    for (size_t i = 0; i < m->count; i++)
        if (is_small(m->expected[i][0]) && strncmp(m->expected[i], "a ", 2) != 0 &&
            strncmp(m->expected[i], "end of", 6) != 0 && unit_fits(m->head, m->expected[i]))
            near[count++] = m->expected[i];
    const char *nearest = nearest_of(m->word, near, count);
    if (nearest == NULL || 2 * edit_distance(m->word, nearest) > strlen(nearest)) return no_advice;
    return replace(m, WORDS("did you mean %s?", nearest), nearest, false);
}

struct advice habit_of(const struct misfit *misfit) {
    static struct advice (*const each[])(const struct misfit *) = {
        number_for_hole, strand_in_small_letters, run_in_words,     comma_too_many,   knot,
        at_line_start,   inside_as_product,       crosses_in_words, tension_as_range, other_lines,
        comma_left_out,  quotes_left_out,         minutes,          known_word,       near_word};
    for (size_t i = 0; i < sizeof each / sizeof *each; i++) {
        struct advice advice = each[i](misfit);
        if (advice.help != NULL) return advice;
    }
    return no_advice;
}
