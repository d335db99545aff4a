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

static bool is_among(const char *word, const char *const *words, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (same(word, words[i])) return true;
    return false;
}

#define AMONG(word, ...)                                                                           \
    is_among(word, (const char *const[]){__VA_ARGS__},                                             \
             sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *))

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
    const char *last = skip_blanks(m->rest);
    bool words = is_small(*last) && small_strand(last) == 0; /* "until later" */
    if (!to || words || !misfit_expects(m, "..")) return no_advice;
    struct span gap = behind_before(m);
    if (!span_given(gap)) return only_help(help);
    return (struct advice){NULL, help, "..", span_join(gap, with_rest(m, skip_blanks(m->rest))),
                           true};
}

/* ---- commas ---- */

static bool is_strand(const char *word) {
    size_t digits = word[0] == 'M' || word[0] == 'C' ? strspn(word + 1, "0123456789") : 0;
    return digits > 0 && word[1 + digits] == '\0';
}

static bool is_aim_word(const char *word) {
    return AMONG(word, "late", "loops", "longest", "loop", "changes");
}

static struct advice comma_left_out(const struct misfit *m) {
    if (!misfit_expects(m, ",")) return no_advice;
    struct span gap = behind_before(m);
    if (same(m->word, "and") && span_given(gap))
        return (struct advice){NULL, "a comma stands between the parts of a line, not and", ",",
                               span_join(gap, m->span), true};
    static const char *const begin[] = {"taper", "skip", "thread", "pull", "tie", "start"};
    bool due = same(m->head, "one") && same(m->word, "long");
    due |= same(m->before, "wide") && is_digit(m->word[0]);
    due |= is_strand(m->word) || (same(m->head, "aims") && is_aim_word(m->word));
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

/* ---- what a pattern insists on ---- */

/* The word and the blanks behind it taken out. */
static struct advice word_too_many(const struct misfit *m, const char *help) {
    return (struct advice){NULL, help, "", with_rest(m, skip_blanks(m->rest)), true};
}

static const char *const ends[] = {"long", "short", "left", "right", "cross"};

/* An end's name at the start of a text; NULL where none stands there. */
static const char *end_at(const char *text) {
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++)
        if (word_at_start(text, ends[i]) > 0) return ends[i];
    return NULL;
}

static const char end_is_named[] = "an end is named by one word: by long, for short";

/* "by the long end": an end in more words than one. */
static struct advice end_in_words(const struct misfit *m) {
    bool after = is_among(m->before, ends, sizeof ends / sizeof *ends);
    if (same(m->word, "end") && after && AMONG(m->head, "crosses", "hold"))
        return (struct advice){NULL, end_is_named, m->before, before_and_word(m), true};
    if (!misfit_expects(m, "short") || !same(m->word, "the")) return no_advice;
    const char *rest = skip_blanks(m->rest), *end = end_at(rest);
    if (end == NULL) return no_advice;
    const char *at = rest + strlen(end);
    size_t length = word_at_start(skip_blanks(at), "end");
    if (length > 0) at = skip_blanks(at) + length;
    return (struct advice){NULL, end_is_named, end, with_rest(m, at), true};
}

/* Who strings the crosses. */
static struct advice crosses_by(const struct misfit *m) {
    if (!same(m->head, "crosses")) return no_advice;
    bool by = same(m->word, "by");
    if (by && same(m->before, "crosses")) return only_help("write: crosses from head by long");
    if (by && misfit_expects(m, "skip"))
        return (struct advice){NULL, "no comma stands before by", " by", before_and_word(m), true};
    if (by) return only_help("by stands before skip: crosses from head by long, skip C1");
    bool both = same(m->word, "both") && same(m->before, "by");
    if (both || (misfit_expects(m, "skip") && end_at(m->word) != NULL))
        return only_help("leave by out where either end may string them: crosses from head");
    if (!misfit_expects(m, "by")) return no_advice;
    const char *end = end_at(m->word);
    if (end != NULL)
        return insert(m, WORDS("write: crosses from %s by %s", m->before, end), " by", false);
    return AMONG(m->word, "with", "for", "on", "using")
               ? replace(m, "which end strings them is said with: by long", "by", false)
               : no_advice;
}

static const char held[] = "write: hold M7, C1 for later; or for one end: hold M7, C1 for short";

static struct advice hold(const struct misfit *m) {
    if (!same(m->head, "hold")) return no_advice;
    if (same(m->before, "hold")) {
        if (AMONG(m->word, "back", "out", "on", "up")) return word_too_many(m, held);
        if (m->at_end) return only_help(held);
        bool outer = AMONG(m->word, "outer", "outermost", "the", "last", "mains", "crosses");
        return outer ? only_help("strands are named: hold M7, C1 for later") : no_advice;
    }
    if (misfit_expects(m, "for")) {
        if (same(m->word, "later")) return insert(m, held, " for", true);
        const char *end = end_at(m->word);
        if (end != NULL) return insert(m, held, " for", false);
        bool other = m->at_end || (is_small(*m->word) && !same(m->word, "and"));
        return other ? only_help(held) : no_advice;
    }
    return misfit_expects(m, "later") && small_strand(m->word) == 0 ? only_help(held) : no_advice;
}

/* Behind the words in small letters that a text begins with. */
static const char *behind_words(const char *text) {
    while (is_blank(*text) || is_small(*text))
        text++;
    return text;
}

/* Any wording of "loops up to 60 mm". */
static struct advice loops_up_to(const struct misfit *m) {
    if (!same(m->head, "loops")) return no_advice;
    const char *at = behind_words(m->line);
    size_t number = number_length(at);
    const char *unit = skip_blanks(at + number);
    size_t length = letters_length(unit);
    if (number == 0 || length == 0) return only_help("write: loops up to 60 mm");
    const char *limit = WORDS("%.*s %.*s", (int)number, at, (int)length, unit);
    const char *end = behind_words(unit + length); /* "at most" */
    while (is_blank(end[-1]))
        end--;
    bool up = same(m->before, "up"), to = same(m->before, "to");
    const char *instead = WORDS("%s%s", to ? "" : up ? "to " : "up to ", limit);
    struct span place = {m->span.start, m->span.start + (uint32_t)(end - m->line)};
    return (struct advice){NULL, WORDS("write: loops up to %s", limit), instead, place, false};
}

/* "one" for 1: a number in a word; NULL where it is none. */
static const char *number_in_word(const char *word) {
    static const char *const numbers[][2] = {
        {"no", "0"}, {"one", "1"}, {"two", "2"}, {"three", "3"}, {"four", "4"}};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        if (same(word, numbers[i][0])) return numbers[i][1];
    return NULL;
}

/* "fixed clamps at most 2": what stands where the number should. */
static struct advice clamps_counted(const struct misfit *m) {
    const char *number = number_in_word(m->word), *at = behind_words(m->line);
    struct span place = m->span;
    if (number == NULL && is_digit(*at)) {
        size_t digits = strspn(at, "0123456789");
        number = WORDS("%.*s", (int)digits, at);
        place.end = m->span.start + (uint32_t)(at + digits - m->line);
    }
    if (number == NULL) return only_help(WORDS("write: %s clamps 1", m->head));
    return (struct advice){NULL, WORDS("write: %s clamps %s", m->head, number), number, place,
                           true};
}

/* "2 fixed clamps" */
static struct advice clamps_number_first(const struct misfit *m, const char *number,
                                         const char *kind, struct span from) {
    size_t length = word_at_start(kind, "fixed") + word_at_start(kind, "starting");
    const char *at = skip_blanks(kind + length);
    size_t clamps = word_at_start(at, "clamps") + word_at_start(at, "clamp");
    if (number == NULL || length == 0 || clamps == 0 || !span_given(from)) return no_advice;
    const char *meant = WORDS("%.*s clamps %s", (int)length, kind, number);
    struct span place = {from.start, m->span.start + (uint32_t)(at + clamps - m->line)};
    return (struct advice){NULL, WORDS("write: %s", meant), meant, place, true};
}

static struct advice clamps_most(const struct misfit *m) {
    if (m->syntax->block != BLOCK_PATTERN) return no_advice;
    if (m->before[0] == '\0')
        return clamps_number_first(m, is_digit(m->word[0]) ? m->word : number_in_word(m->word),
                                   skip_blanks(m->rest), m->span);
    if (misfit_expects(m, "piece") || misfit_expects(m, "pieces"))
        return clamps_number_first(m, number_in_word(m->before), m->line, before_and_word(m));
    if (!AMONG(m->head, "fixed", "starting")) return no_advice;
    if (misfit_expects(m, "a number")) return clamps_counted(m);
    if (!misfit_expects(m, "clamps")) return no_advice;
    const char *count = behind_words(m->line);
    size_t digits = strspn(count, "0123456789");
    const char *help = digits > 0 ? WORDS("write: %s clamps %.*s", m->head, (int)digits, count)
                                  : WORDS("write: %s clamps 1", m->head);
    const char *next = skip_blanks(m->rest);
    size_t clamps = word_at_start(next, "clamps") + word_at_start(next, "clamp");
    if (is_digit(m->word[0]) && clamps > 0)
        return (struct advice){NULL, help, WORDS("clamps %s", m->word), with_rest(m, next + clamps),
                               true};
    if (is_digit(m->word[0])) return insert(m, help, " clamps", true);
    return same(m->word, "clamp") ? replace(m, help, "clamps", true) : only_help(help);
}

static struct advice finish(const struct misfit *m) {
    if (!same(m->head, "finish")) return no_advice;
    bool place = AMONG(m->word, "head", "throat");
    if (misfit_expects(m, "at") && place) return insert(m, "write: finish at head", " at", true);
    if (misfit_expects(m, "at"))
        return AMONG(m->word, "from", "in", "on", "near", "with")
                   ? replace(m, "write: finish at head", "at", true)
                   : only_help("write: finish at head");
    if (!misfit_expects(m, "throat")) return no_advice;
    if (same(m->word, "the")) return word_too_many(m, "write: finish at head");
    if (is_hole(m->word))
        return only_help(WORDS(
            "it is head or throat; the hole of a knot stands in a leg: long tie %s", m->word));
    return no_advice;
}

/* "around world", "find rest": what is always said in the same words. */
static struct advice set_phrase(const struct misfit *m) {
    static const char *const phrases[][2] = {{"around", "world"}, {"find", "rest"}};
    for (size_t i = 0; i < sizeof phrases / sizeof *phrases; i++) {
        const char *head = phrases[i][0], *last = phrases[i][1];
        const char *help = WORDS("write: %s the %s", head, last);
        bool due = misfit_expects(m, "the"), end_due = misfit_expects(m, last);
        if (!same(m->head, head) || (!due && !end_due)) continue;
        if (due && same(m->word, last)) return insert(m, help, " the", true);
        return m->at_end ? only_help(help)
                         : replace(m, help, due ? WORDS("the %s", last) : last, false);
    }
    return no_advice;
}

/* "find the rest, around the world": two lines in one. */
static struct advice two_lines(const struct misfit *m) {
    bool alone = AMONG(m->head, "around", "hold", "loops", "fixed", "starting", "finish", "find");
    if (alone && same(m->word, ",") && !misfit_expects(m, ","))
        return only_help("what comes after the comma stands in a line of its own");
    bool begins =
        AMONG(m->word, "around", "hold", "loops", "fixed", "starting", "finish", "find", "aims");
    if (!same(m->before, ",") || !begins || same(m->head, "aims")) return no_advice;
    return only_help(WORDS("what begins with %s stands in a line of its own", m->word));
}

static const char aims[] = "aims are: late mains, loops over, longest loop, loop length, changes; "
                           "each the less the better";

static bool is_least(const char *word) {
    return AMONG(word, "fewest", "fewer", "few", "less", "least", "no", "shortest", "shorter",
                 "short", "smallest", "the");
}

/* Whether an aim stands at the start of a text. */
static bool aim_at(const char *text) {
    static const char *const each[][2] = {{"late", "mains"},
                                          {"loops", "over"},
                                          {"longest", "loop"},
                                          {"loop", "length"},
                                          {"changes", ""}};
    for (size_t i = 0; i < sizeof each / sizeof *each; i++) {
        size_t length = word_at_start(text, each[i][0]);
        const char *next = skip_blanks(text + length);
        if (length > 0 && (each[i][1][0] == '\0' || word_at_start(next, each[i][1]) > 0))
            return true;
    }
    return false;
}

/* "fewest changes": an aim is always the least of something. */
static struct advice aim(const struct misfit *m) {
    if (!same(m->head, "aims") || !is_least(m->word) || !aim_at(skip_blanks(m->rest)))
        return no_advice;
    return word_too_many(m, aims);
}

/* Where nothing nearer is known. */
static struct advice any_aim(const struct misfit *m) {
    return same(m->head, "aims") ? only_help(aims) : no_advice;
}

/* ---- how such lines begin ---- */

/* Lines that say what a line of the language says, and begin with another word. */
static struct advice intent_in_words(const struct misfit *m) {
    static const struct {
        const char *first, *next, *help, *instead;
    } rows[] = {
        {"go", "around", "write: around the world", "around"},
        {"round", "the world", "write: around the world", "around the world"},
        {"world", "", "write: around the world", "around the world"},
        {"rest", "", "write: find the rest", "find the rest"},
        {"the", "rest", "write: find the rest", "find the rest"},
        {"search", "the rest", "write: find the rest", "find the rest"},
        {"complete", "the rest", "write: find the rest", "find the rest"},
        {"end", "at", "write: finish at head", "finish at"},
        {"ends", "at", "write: finish at head", "finish at"},
        {"finishes", "at", "write: finish at head", "finish at"},
        {"max", "loop", "write: loops up to 60 mm", NULL},
        {"maximum", "loop", "write: loops up to 60 mm", NULL},
        {"skip", "",
         "what may come at any time stands in the line of the crosses: crosses from head, skip C1",
         NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (!same(m->word, rows[i].first)) continue;
        const char *next = skip_blanks(m->rest);
        size_t length = rows[i].next[0] == '\0' ? 0 : word_at_start(next, rows[i].next);
        if (rows[i].next[0] != '\0' && length == 0) continue;
        if (rows[i].instead == NULL) return only_help(rows[i].help);
        struct span place = length > 0 ? with_rest(m, next + length) : m->span;
        return (struct advice){NULL, rows[i].help, rows[i].instead, place, false};
    }
    return no_advice;
}

static struct advice intent_at_line_start(const struct misfit *m) {
    if (m->before[0] != '\0' || m->syntax->block != BLOCK_PATTERN) return no_advice;
    struct advice in_words = intent_in_words(m);
    if (in_words.help != NULL) return in_words;
    const char *rest = skip_blanks(m->rest);
    if (AMONG(m->word, "keep", "leave", "save", "wait", "delay")) {
        bool strand = (*rest == 'M' || *rest == 'C') && is_digit(rest[1]);
        return strand ? replace(m, held, "hold", false) : only_help(held);
    }
    if (same(m->word, "longest") && is_digit(*behind_words(rest)))
        return only_help("write: loops up to 60 mm");
    bool aim_first = aim_at(m->line), aim_next = is_least(m->word) && aim_at(rest);
    if (!aim_first && !aim_next) return no_advice;
    return replace(m, "what counts first is said with: aims longest loop, changes",
                   aim_first ? WORDS("aims %s", m->word) : "aims", false);
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

/* ---- what a frame and a machine feel ---- */

static struct advice squeeze(const struct misfit *m) {
    static const char *const help =
        "first at the widest, then from head to throat: squeeze 180 N per mm wide, 400 N per mm "
        "long";
    if (!same(m->head, "squeeze") || !misfit_expects(m, "wide")) return no_advice;
    if (same(m->word, ",")) return insert(m, help, " wide", true);
    return same(m->word, "long") ? only_help(help) : no_advice;
}

static struct advice mount(const struct misfit *m) {
    if (!same(m->head, "mount")) return no_advice;
    bool number = is_digit(m->word[0]);
    if (same(m->before, "mount") && number)
        return insert(m, "say from where the machine bears: mount inside 12, 6, outside 2, 10",
                      " inside", false);
    if (AMONG(m->before, "six", "two") && AMONG(m->word, "point", "points")) {
        const char *meant = WORDS("%s-point", m->before);
        return (struct advice){NULL, WORDS("write: mount %s", meant), meant, before_and_word(m),
                               true};
    }
    bool part = number || AMONG(m->word, "inside", "outside");
    return part && misfit_expects(m, ",")
               ? insert(m, WORDS("put a comma before %s", m->word), ",", true)
               : no_advice;
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
                {"stiffness", " lb kg N "},
                {"squeeze", " lb kg N mm "},
                {"draw-back", " mm cm m in "},
                {"mount", " lb kg N mm "},
                {"gauge", " mm cm m in "},
                {"length", " mm cm m in "},
                {"reach", " mm cm m in "},
                {"wall", " mm cm m in "},
                {"loops", " mm cm m in "},
                {"fixed", " "},
                {"starting", " "},
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

typedef struct advice habit(const struct misfit *);

struct advice habit_of(const struct misfit *misfit) {
    static habit *const each[] = {number_for_hole,
                                  strand_in_small_letters,
                                  run_in_words,
                                  comma_too_many,
                                  knot,
                                  intent_at_line_start,
                                  at_line_start,
                                  inside_as_product,
                                  crosses_in_words,
                                  tension_as_range,
                                  end_in_words,
                                  crosses_by,
                                  comma_left_out,
                                  hold,
                                  loops_up_to,
                                  clamps_most,
                                  finish,
                                  set_phrase,
                                  two_lines,
                                  aim,
                                  other_lines,
                                  squeeze,
                                  mount,
                                  quotes_left_out,
                                  minutes,
                                  known_word,
                                  near_word,
                                  any_aim};
    for (size_t i = 0; i < sizeof each / sizeof *each; i++) {
        struct advice advice = each[i](misfit);
        if (advice.help != NULL) return advice;
    }
    return no_advice;
}
