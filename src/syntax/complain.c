/* The parser's complaints in a stringer's words: what stood there, what may come instead. */
#include "syntax/build.h"

#include "ground/nearest.h"

#include <string.h>

enum { MOST_LISTED = 6 };

/* What to tell of a word that does not fit: help, and what to write in its place where that is
 * known ("" to leave it out). */
struct advice {
    const char *help, *instead;
    bool safe;
};

/* Spellings that come from habit, and what the language writes. */
static const struct {
    const char *found;
    struct advice advice;
} habits[] = {
    {"one-piece", {"write: one piece", "one piece", true}},
    {"two-piece", {"write: two pieces", "two pieces", true}},
    {"two-pieces", {"write: two pieces", "two pieces", true}},
    {"off", {"a leg ends with: tie 6H", "", true}},
    {"tie-off",
     {"tie-off lists the frame's holes with room for a knot; a leg ends with: tie 6H", "tie",
      false}},
    {"sides", {"write: on each side", "side", true}},
    {"lbs", {"write: lb", "lb", true}},
    {"kgs", {"write: kg", "kg", true}},
    {"pounds", {"write: lb", "lb", true}},
    {"inches", {"write: in", "in", true}},
    {"inch", {"write: in", "in", true}},
    {"bottom", {"the place nearest the handle is called throat", "throat", false}},
    {"top", {"the place farthest from the handle is called head", "head", false}},
};

static const struct advice no_advice = {0};

static bool listed(const char *word, const char *const *expected, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (strcmp(word, expected[i]) == 0) return true;
    return false;
}

static bool is_plain_word(const char *word) { return word[0] >= 'a' && word[0] <= 'z'; }

/* "a title in quotes", "head or throat": what may come, in one phrase. */
static const char *expectation(struct arena *arena, const char *const *expected, size_t count) {
    bool any_name = listed("a name", expected, count);
    const char *shown[MOST_LISTED];
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        bool phrase = strncmp(expected[i], "a ", 2) == 0;
        if (any_name && is_plain_word(expected[i]) && !phrase) continue;
        if (strcmp(expected[i], "end of line") == 0) continue;
        if (kept == MOST_LISTED) return NULL;
        shown[kept++] = expected[i];
    }
    if (kept == 0) return "the end of the line";
    struct output out = output_to(arena);
    for (size_t i = 0; i < kept; i++) {
        if (i > 0) put(&out, i + 1 == kept ? " or " : ", ");
        put(&out, shown[i]);
    }
    return output_text(&out);
}

static bool looks_like_strand(const char *word) {
    if (word[0] == '\0') return false;
    size_t digits = strspn(word + 1, "0123456789");
    return (word[0] == 'm' || word[0] == 'c') && digits > 0 && word[1 + digits] == '\0';
}

static struct advice advice_for(struct syntax *syntax, const char *found,
                                const char *const *expected, size_t count) {
    struct arena *arena = syntax->arena;
    bool number = found[0] >= '0' && found[0] <= '9', minus = strcmp(found, "-") == 0;
    if (minus && listed("..", expected, count))
        return (struct advice){"a range is written with two points: 20..28 lb, M1..M6", "..", true};
    if (minus && listed("a number", expected, count))
        return (struct advice){"a length or a tension is never below zero: leave the - out", NULL,
                               false};
    if (number && listed("a hole (7H, 7T)", expected, count))
        return (struct advice){
            format(arena, "a hole is written in one word: %sH or %sT", found, found), NULL, false};
    if (strcmp(found, "tie") == 0 && listed("tie-off", expected, count))
        return (struct advice){
            "the frame's holes with room for a knot are listed with: tie-off 5T, 6H", NULL, false};
    if (looks_like_strand(found) && listed("a strand (M1, C1)", expected, count)) {
        const char *meant = format(arena, "%c%s", found[0] == 'm' ? 'M' : 'C', found + 1);
        return (struct advice){format(arena, "a strand is written with a capital: %s", meant),
                               meant, true};
    }
    for (size_t i = 0; i < sizeof habits / sizeof *habits; i++)
        if (strcmp(found, habits[i].found) == 0) return habits[i].advice;
    const char *nearest = is_plain_word(found) ? nearest_of(found, expected, count) : NULL;
    if (nearest == NULL) return no_advice;
    return (struct advice){format(arena, "did you mean %s?", nearest), nearest, false};
}

static char *source_text(struct syntax *syntax, struct span span) {
    return arena_copy(syntax->arena, syntax->source->bytes + (span.start - syntax->source->base),
                      span.end - span.start);
}

/* Whether the token before is the second strand of a shared hole: M9+C2. */
static bool after_shared(const struct syntax *syntax) {
    if (!span_given(syntax->previous)) return false;
    const char *bytes = syntax->source->bytes;
    size_t at = syntax->previous.start - syntax->source->base;
    if (bytes[at] != 'M' && bytes[at] != 'C') return false;
    while (at > 0 && (bytes[at - 1] == ' ' || bytes[at - 1] == '\t'))
        at--;
    return at > 0 && bytes[at - 1] == '+';
}

void syntax_unexpected(struct syntax *syntax, struct span span, const char *found,
                       const char *const *expected, size_t count) {
    struct report *report = syntax->report;
    const char *word = source_text(syntax, span);
    const char *before =
        span_given(syntax->previous) ? source_text(syntax, syntax->previous) : NULL;
    /* a brace that was put in where none is written has no word */
    bool at_end =
        strcmp(found, "end of line") == 0 || strcmp(found, "end of file") == 0 || word[0] == '\0';
    const char *quoted =
        at_end ? "the line ends here" : format(syntax->arena, "`%s` does not fit here", word);
    const char *due = expectation(syntax->arena, expected, count);
    struct finding *finding;
    if (before != NULL && strcmp(before, ",") == 0 && strcmp(word, "}") == 0) {
        finding = report_add(report, RULE_syntax, syntax->previous,
                             "after this comma the line should go on, but the block ends");
        finding_help(report, finding, "take the comma out");
        finding_fix(report, finding, true, syntax->previous, "%s", "");
        return;
    }
    if (strcmp(word, "+") == 0 && after_shared(syntax)) {
        finding = report_add(report, RULE_hole_overfull, span,
                             "a third strand in one hole: a hole takes two");
        finding_help(report, finding, "give one of the three a hole of its own");
    } else if (before == NULL && listed("frame", expected, count) &&
               !listed("inside", expected, count))
        finding =
            report_add(report, RULE_syntax, span,
                       "%s: outside a block comes use, frame, string, bench or pattern", quoted);
    else if (before == NULL && listed("inside", expected, count))
        finding = report_add(report, RULE_syntax, span, "no line begins with `%s`", word);
    else if (due == NULL)
        finding = report_add(report, RULE_syntax, span, "%s", quoted);
    else if (before == NULL)
        finding = report_add(report, RULE_syntax, span, "%s; here comes %s", quoted, due);
    else
        finding =
            report_add(report, RULE_syntax, span, "%s; after `%s` comes %s", quoted, before, due);
    bool escaped = before != NULL && before[0] == '"' && strlen(before) > 2 &&
                   before[strlen(before) - 2] == '\\';
    struct advice advice =
        escaped  ? (struct advice){"a title has no escapes and holds no double quote: use single "
                                    "ones inside it",
                                   NULL, false}
        : at_end ? no_advice
                 : advice_for(syntax, word, expected, count);
    if (advice.help != NULL) finding_help(report, finding, "%s", advice.help);
    /* a word is left out together with the blanks behind the word before it */
    bool left_out = advice.instead != NULL && advice.instead[0] == '\0';
    if (advice.instead != NULL && !(left_out && before == NULL)) {
        struct span place = left_out ? span_join(syntax->previous, span) : span;
        finding_fix(report, finding, advice.safe, place, "%s%s", left_out ? before : "",
                    advice.instead);
    }
    if (!at_end) syntax->bad_line = true;
}
