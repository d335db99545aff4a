/* The parser's complaints in a stringer's words: what stood there, what may come instead. */
#include "syntax/habits.h"

#include <string.h>

/* More are no help; but the kinds of a pace are seven, and all there is to say. */
enum { MOST_LISTED = 6, ALL_OF_PACE = PACES };

static bool listed(const char *word, const char *const *expected, size_t count) {
    for (size_t i = 0; i < count; i++)
        if (strcmp(word, expected[i]) == 0) return true;
    return false;
}

static bool is_plain_word(const char *word) { return word[0] >= 'a' && word[0] <= 'z'; }

/* Words that are told of by what they have in common. */
static const char *kind_of(const char *word) {
    static const struct {
        const char *word, *kind;
    } kinds[] = {{"mm", "a unit"},    {"cm", "a unit"}, {"m", "a unit"},  {"in", "a unit"},
                 {"lb", "a unit"},    {"kg", "a unit"}, {"N", "a unit"},  {"%", "a unit"},
                 {"g/cm3", "a unit"}, {"s", "a unit"},  {",", "a comma"}, {"left", "a side"},
                 {"right", "a side"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(word, kinds[i].word) == 0) return kinds[i].kind;
    return word;
}

/* "a title in quotes", "head or throat": what may come, in one phrase; NULL where that is too much.
 */
static const char *expectation(struct arena *arena, const char *const *expected, size_t count) {
    bool any_name = listed("a name", expected, count);
    bool may_end = listed("end of line", expected, count) || listed("}", expected, count);
    const char *shown[ALL_OF_PACE + 1];
    size_t kept = 0, most = listed("change", expected, count) ? ALL_OF_PACE : MOST_LISTED;
    for (size_t i = 0; i < count; i++) {
        bool phrase = strncmp(expected[i], "a ", 2) == 0;
        if (any_name && is_plain_word(expected[i]) && !phrase) continue;
        if (strcmp(expected[i], "end of line") == 0 || strcmp(expected[i], "}") == 0) continue;
        const char *kind = kind_of(expected[i]);
        if (listed(kind, shown, kept)) continue;
        if (kept == most) return NULL;
        shown[kept++] = kind;
    }
    if (kept == 1 && !may_end && strcmp(shown[0], "a side") == 0) return "left or right";
    if (may_end || kept == 0) shown[kept++] = "the end of the line";
    struct output out = output_to(arena);
    for (size_t i = 0; i < kept; i++) {
        if (i > 0) put(&out, i + 1 == kept ? " or " : ", ");
        put(&out, shown[i]);
    }
    return output_text(&out);
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

/* As far as a slip reaches: the rest of a line without end is nobody's habit. */
enum { SEEN = 200 };

/* What follows a place in its line. */

static const char *rest_of_line(struct syntax *syntax, struct span span, const char **from) {
    const struct source *source = syntax->source;
    const char *at = source->bytes + (span.start - source->base);
    size_t left = source->length - (span.start - source->base), most = left < SEEN ? left : SEEN;
    const char *end = memchr(at, '\n', most);
    size_t length = end != NULL ? (size_t)(end - at) : most;
    while (length > 0 && length < left && ((unsigned char)at[length] & 0xC0) == 0x80)
        length--; /* no half characters */
    *from = arena_copy(syntax->arena, at, length);
    size_t word = span.end - span.start;
    return *from + (word < length ? word : length);
}

/* The parser's words for what may come, but a path where a text is used and a frame after for. */
static const char *due_after(struct arena *arena, const struct misfit *m) {
    if (strcmp(m->before, "use") == 0) return "a path in quotes";
    bool name = listed("a name", m->expected, m->count);
    if (name && strcmp(m->before, "for") == 0) return "the name of a frame";
    return expectation(arena, m->expected, m->count);
}

static struct finding *complain(const struct misfit *m, const char *message) {
    struct syntax *syntax = m->syntax;
    struct report *report = syntax->report;
    if (message != NULL) return report_add(report, RULE_syntax, m->span, "%s", message);
    const char *due = due_after(syntax->arena, m);
    const char *quoted =
        m->at_end ? "the line ends here" : format(syntax->arena, "`%s` does not fit here", m->word);
    bool first = m->before[0] == '\0';
    if (first && listed("frame", m->expected, m->count) && !listed("inside", m->expected, m->count))
        return report_add(report, RULE_syntax, m->span,
                          "%s: outside a block comes use, frame, string, bench or pattern", quoted);
    if (first && listed("inside", m->expected, m->count))
        return report_add(report, RULE_syntax, m->span, "no line begins with `%s`", m->word);
    if (due == NULL) return report_add(report, RULE_syntax, m->span, "%s", quoted);
    if (first) return report_add(report, RULE_syntax, m->span, "%s; here comes %s", quoted, due);
    return report_add(report, RULE_syntax, m->span, "%s; after `%s` comes %s", quoted, m->before,
                      due);
}

void syntax_unexpected(struct syntax *syntax, struct span span, const char *found,
                       const char *const *expected, size_t count) {
    struct report *report = syntax->report;
    bool follows = span_given(syntax->previous);
    struct misfit misfit = {.syntax = syntax,
                            .span = span,
                            .word = source_text(syntax, span),
                            .before = follows ? source_text(syntax, syntax->previous) : "",
                            .head = follows ? source_text(syntax, syntax->first) : "",
                            .expected = expected,
                            .count = count};
    misfit.at_end = strcmp(found, "end of line") == 0 || strcmp(found, "end of file") == 0 ||
                    misfit.word[0] == '\0'; /* a brace put in where none is written */
    misfit.rest = rest_of_line(syntax, span, &misfit.line);
    struct finding *finding;
    if (strcmp(misfit.before, ",") == 0 && strcmp(misfit.word, "}") == 0) {
        finding = report_add(report, RULE_syntax, syntax->previous,
                             "after this comma the line should go on, but the block ends");
        finding_help(report, finding, "take the comma out");
        finding_fix(report, finding, true, syntax->previous, "%s", "");
        return;
    }
    if (strcmp(misfit.word, "+") == 0 && after_shared(syntax)) {
        finding = report_add(report, RULE_hole_overfull, span,
                             "a third strand in one hole: a hole takes two");
        finding_help(report, finding, "give one of the three a hole of its own");
        syntax->bad_line = true;
        return;
    }
    size_t before = strlen(misfit.before);
    bool escaped = before > 2 && misfit.before[0] == '"' && misfit.before[before - 2] == '\\';
    struct advice advice = {0};
    if (escaped)
        advice.help = "a title has no escapes and holds no double quote: use single ones inside it";
    else
        advice = habit_of(&misfit);
    finding = complain(&misfit, advice.message);
    if (advice.help != NULL) finding_help(report, finding, "%s", advice.help);
    if (advice.instead != NULL)
        finding_fix(report, finding, advice.safe, advice.place, "%s", advice.instead);
    if (!misfit.at_end) syntax->bad_line = true;
}
