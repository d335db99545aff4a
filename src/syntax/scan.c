/* Words: numbers, strands, holes, names, and what to say of what is none of them. */
#include "syntax/scan.h"

#include "ground/limits.h"
#include "ground/utf8.h"
#include "report/settings.h"
#include "syntax/habits.h"

#include <string.h>

void *scanner_get_extra(void *scanner);

static struct syntax *syntax_of(void *scanner) { return scanner_get_extra(scanner); }

void *scan_alloc(void *scanner, size_t size) {
    return arena_alloc(syntax_of(scanner)->arena, size);
}

/* Flex only grows its stack of buffers, which holds one; it is never called for a fixed buffer. */
void *scan_realloc(void *scanner, void *old, size_t size) {
    void *grown = scan_alloc(scanner, size);
    if (old != NULL) memcpy(grown, old, size);
    return grown;
}

void scan_give_up(void *scanner) { arena_escape(syntax_of(scanner)->arena); }

/* A line's end, and those of the empty lines that the same token holds. */
static void take_ends(struct syntax *syntax, size_t at) {
    const char *bytes = syntax->source->bytes;
    bool feed = bytes[at] == '\n';
    layout_take_end(syntax->layout, TOK_LINE_END, at, at + 1);
    while (feed) {
        at++;
        while (bytes[at] == ' ' || bytes[at] == '\t' || bytes[at] == '\r')
            at++;
        feed = bytes[at] == '\n';
        if (feed) layout_take_end(syntax->layout, TOK_LINE_END, at, at + 1);
    }
}

void scan_to_layout(struct syntax *syntax, int kind, struct span span) {
    uint32_t base = syntax->source->base;
    if (kind == TOK_LINE_END)
        take_ends(syntax, span.start - base);
    else
        layout_take(syntax->layout, kind, span.start - base, span.end - base);
}

/* Behind words a comment stands by their statement; behind a brace, or in a head, by the whole
 * definition; on a line of its own by what comes next, but inside a statement by that. */
static struct setting_place place_of_comment(const struct syntax *syntax) {
    const struct progress *p = &syntax->scanned;
    bool inside = p->last == TOK_COMMA, whole = p->depth == 0 || p->last == TOK_OPEN;
    if (p->last == 0 || (!p->behind && !inside)) return (struct setting_place){.next = true};
    uint32_t start = whole ? p->definition : p->statement;
    bool closed = p->last == TOK_CLOSE || p->last == TOK_LINE_END;
    bool goes_on = whole ? !closed : inside;
    return (struct setting_place){
        .begun = {start, start + 1}, .goes_on = goes_on, .depth = whole ? p->depth : 0};
}

size_t scan_comment(struct syntax *syntax, const char *text) {
    const struct source *source = syntax->source;
    size_t left = source->length - (size_t)(text - source->bytes);
    const char *end = memchr(text, '\n', left);
    size_t length = end != NULL ? (size_t)(end - text) : left;
    struct span span = scan_span(syntax, text, length);
    if (syntax->layout != NULL) {
        scan_to_layout(syntax, WORD_COMMENT, span);
    } else {
        syntax->comments++;
        setting_from_comment(syntax->report, source, span, place_of_comment(syntax));
    }
    return length;
}

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static size_t count_digits(const char *text, size_t length) {
    size_t digits = 0;
    while (digits < length && is_digit(text[digits]))
        digits++;
    return digits;
}

#define HERE scan_span(syntax, text, length)
#define COPY arena_copy(syntax->arena, text, length)

/* A word or number too long to be any; nothing further is said of it, and it is not repeated. */
static bool too_long(struct syntax *syntax, const char *text, size_t length, size_t most,
                     const char *what) {
    if (length <= most) return false;
    report_add(syntax->report, RULE_too_long, HERE,
               "this %s is %zu characters long; %zu are the most", what, length, most);
    return true;
}

/* ---- titles ---- */

/* Characters that are none: they would steer a terminal, or be no character of XML. */
static bool is_control(uint32_t c) {
    return (c < ' ' && c != '\t') || (c >= 0x7F && c <= 0x9F) || (c & 0xFFFE) == 0xFFFE;
}

/* Whether a title holds nothing but characters; says which is none. */
static bool judge_title(struct syntax *syntax, const char *text, size_t length) {
    for (size_t at = 0, step; at < length; at += step) {
        uint32_t c = utf8_decode(text + at, length - at, &step);
        if (!is_control(c)) continue;
        struct finding *finding =
            report_add(syntax->report, RULE_stray, scan_span(syntax, text + at, step),
                       "a control character (U+%04X) has no place in a title", (unsigned)c);
        finding_help(syntax->report, finding, "take it out");
        finding_fix(syntax->report, finding, true, scan_span(syntax, text + at, step), "%s", "");
        return false;
    }
    return true;
}

int scan_title(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    if (length - 2 > LIMIT_TITLE_BYTES) {
        report_add(syntax->report, RULE_too_long, HERE,
                   "this title is %zu bytes long; %d are the most", length - 2, LIMIT_TITLE_BYTES);
        return TOK_SELVAGE_YYerror;
    }
    if (syntax->report->muted) return TOK_TITLE;
    if (!judge_title(syntax, text + 1, length - 2)) return TOK_SELVAGE_YYerror;
    char *title = arena_copy(syntax->arena, text + 1, length - 2);
    for (char *tab = title; (tab = strchr(tab, '\t')) != NULL;)
        *tab = ' ';
    value->name = (struct tree_name){title, HERE};
    return TOK_TITLE;
}

size_t scan_up_to_brace(struct syntax *syntax, const char *text, size_t length,
                        union syntax_value *value) {
    (void)syntax;
    (void)value;
    size_t end = length;
    while (end > 0 && (text[end - 1] == ' ' || text[end - 1] == '\t' || text[end - 1] == '\r'))
        end--;
    return end > 1 && text[end - 1] == '{' ? end - 1 : length;
}

int scan_open_title(struct syntax *syntax, const char *text, size_t length,
                    union syntax_value *value) {
    (void)value;
    if (length > 0 && text[length - 1] == '\r') length--;
    struct finding *finding =
        report_add(syntax->report, RULE_open_title, HERE, "this title is not closed on its line");
    finding_help(syntax->report, finding, "end it with \"; a title stands on one line");
    return TOK_SELVAGE_YYerror;
}

/* ---- numbers ---- */

static double decimal(const char *text, size_t length) {
    double value = 0, step = 1;
    bool after_point = false;
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '.') {
            after_point = true;
            continue;
        }
        value = value * 10 + (text[i] - '0');
        if (after_point) step *= 10;
    }
    return value / step;
}

int scan_number(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    if (too_long(syntax, text, length, LIMIT_DIGITS, "number")) return TOK_SELVAGE_YYerror;
    value->number = (struct tree_number){decimal(text, length), UNIT_NONE, HERE};
    return TOK_NUMBER;
}

int scan_comma_number(struct syntax *syntax, const char *text, size_t length,
                      union syntax_value *value) {
    (void)value;
    if (too_long(syntax, text, length, LIMIT_DIGITS, "number") || syntax->report->muted)
        return TOK_SELVAGE_YYerror;
    char *meant = COPY;
    *strchr(meant, ',') = '.';
    struct finding *finding = report_add(syntax->report, RULE_malformed, HERE,
                                         "a number has a decimal point, not a comma");
    finding_help(syntax->report, finding,
                 "write %s; where two numbers are meant, put a space after the comma", meant);
    finding_fix(syntax->report, finding, false, HERE, "%s", meant);
    return TOK_SELVAGE_YYerror;
}

int scan_point_first(struct syntax *syntax, const char *text, size_t length,
                     union syntax_value *value) {
    (void)value;
    if (too_long(syntax, text, length, LIMIT_DIGITS, "number") || syntax->report->muted)
        return TOK_SELVAGE_YYerror;
    struct finding *finding =
        report_add(syntax->report, RULE_malformed, HERE, "`%s` is no number", COPY);
    finding_help(syntax->report, finding, "write 0%s, or two points for a range as in 20..28",
                 COPY);
    return TOK_SELVAGE_YYerror;
}

/* ---- holes and strands ---- */

/* A number of a strand or a hole: no zero before it, and within reason. */
static bool count_number(struct syntax *syntax, const char *text, size_t text_length,
                         const char *digits, size_t length, int *number) {
    bool zero = length > 1 && digits[0] == '0';
    if (!zero && length <= 3 && decimal(digits, length) <= LIMIT_NUMBER) {
        *number = (int)decimal(digits, length);
        return true;
    }
    if (syntax->report->muted) return false;
    struct span span = scan_span(syntax, text, text_length);
    const char *word = arena_copy(syntax->arena, text, text_length);
    if (zero) {
        size_t zeros = 0;
        while (zeros + 1 < length && digits[zeros] == '0')
            zeros++;
        struct finding *finding = report_add(syntax->report, RULE_malformed, span,
                                             "`%s` has a zero before its number", word);
        char *meant = arena_copy(syntax->arena, word, strlen(word));
        char *at = strpbrk(meant, "0123456789");
        memmove(at, at + zeros, strlen(at + zeros) + 1);
        finding_help(syntax->report, finding, "write %s", meant);
        finding_fix(syntax->report, finding, true, span, "%s", meant);
        return false;
    }
    report_add(syntax->report, RULE_number_range, span,
               "`%s` is beyond any racket: strands and holes are counted up to %d", word,
               LIMIT_NUMBER);
    return false;
}

size_t scan_glued_digits(struct syntax *syntax, const char *text, size_t length,
                         union syntax_value *value) {
    (void)syntax;
    (void)value;
    size_t digits = count_digits(text, length);
    bool one_letter = length == digits + 1, all_small = true;
    for (size_t i = digits; i < length; i++)
        all_small &= text[i] >= 'a' && text[i] <= 'z';
    bool unit = all_small || (one_letter && text[digits] == 'N');
    return one_letter && strchr("ht", text[digits]) != NULL ? 0 : unit ? digits : 0;
}

int scan_hole(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    char letter = text[length - 1];
    if (too_long(syntax, text, length, LIMIT_NAME_BYTES, "word")) return TOK_SELVAGE_YYerror;
    bool malformed = count_digits(text, length) + 1 < length || strchr("Hh"
                                                                       "Tt",
                                                                       letter) == NULL;
    if (syntax->report->muted && (malformed || letter >= 'a')) return TOK_SELVAGE_YYerror;
    if (malformed) {
        struct finding *finding =
            report_add(syntax->report, RULE_malformed, HERE, "`%s` is no hole and no number", COPY);
        finding_help(syntax->report, finding,
                     "a hole is a number and H or T (7H, 7T), a strand M or C and a number (M7); "
                     "put a space between words");
        return TOK_SELVAGE_YYerror;
    }
    if (letter == 'h' || letter == 't') {
        struct finding *finding =
            report_add(syntax->report, RULE_malformed, HERE,
                       "a hole is written with a capital: H at the head, T at the throat");
        char *meant = COPY;
        meant[length - 1] = letter == 'h' ? 'H' : 'T';
        finding_help(syntax->report, finding, "write %s", meant);
        finding_fix(syntax->report, finding, true, HERE, "%s", meant);
        return TOK_SELVAGE_YYerror;
    }
    int number;
    if (!count_number(syntax, text, length, text, length - 1, &number)) return TOK_SELVAGE_YYerror;
    value->hole = (struct tree_hole){
        .number = number, .place = letter == 'H' ? PLACE_HEAD : PLACE_THROAT, .span = HERE};
    return TOK_HOLE;
}

static bool is_strand(const char *text, size_t length) {
    bool letter = length > 1 && (text[0] == 'M' || text[0] == 'C');
    return letter && count_digits(text + 1, length - 1) == length - 1;
}

static int scan_strand(struct syntax *syntax, const char *text, size_t length,
                       union syntax_value *value) {
    int number;
    if (!count_number(syntax, text, length, text + 1, length - 1, &number))
        return TOK_SELVAGE_YYerror;
    value->strand = (struct tree_strand){text[0] == 'M' ? MAIN : CROSS, number, HERE};
    return TOK_STRAND;
}

/* ---- words ---- */

static bool has_capital(const char *text) {
    for (; *text != '\0'; text++)
        if (*text >= 'A' && *text <= 'Z') return true;
    return false;
}

static char *lower(struct syntax *syntax, const char *text) {
    char *copy = arena_copy(syntax->arena, text, strlen(text));
    for (char *at = copy; *at != '\0'; at++)
        if (*at >= 'A' && *at <= 'Z') *at = (char)(*at - 'A' + 'a');
    return copy;
}

/* ---- words that are none ---- */

enum { MOST_LOOKED_AT = 500 }; /* bytes of a line, for a word */

/* What stands in a line from a place on, and where its statement begins. */
static const char *line_from(struct syntax *syntax, const char *text) {
    const struct source *source = syntax->source;
    size_t length = 0, most = source->length - (size_t)(text - source->bytes);
    if (most > MOST_LOOKED_AT) most = MOST_LOOKED_AT;
    while (length < most && text[length] != '\n')
        length++;
    return arena_copy(syntax->arena, text, length);
}

static const char *statement_before(const struct syntax *syntax, const char *text) {
    const char *start = text, *bytes = syntax->source->bytes;
    while (start > bytes && text - start < MOST_LOOKED_AT && strchr("\n;{}", start[-1]) == NULL)
        start--;
    while (*start == ' ' || *start == '\t')
        start++;
    return start;
}

/* Capitals where a title is due: how long it would be; 0 where none is. */
static size_t title_without_quotes(struct syntax *syntax, const char *text, const char **line) {
    const char *start = statement_before(syntax, text), *behind = NULL;
    static const char *const heads[] = {"frame", "string", "bench", "pattern"};
    size_t note = word_at_start(start, "note");
    if (note > 0) behind = start + note;
    for (size_t i = 0; i < sizeof heads / sizeof *heads && behind == NULL; i++) {
        size_t head = word_at_start(start, heads[i]);
        if (head == 0) continue;
        behind = start + head;
        while (*behind == ' ' || *behind == '\t')
            behind++;
        while ((*behind >= 'a' && *behind <= 'z') || is_digit(*behind) || *behind == '-')
            behind++;
    }
    if (behind == NULL || behind >= text) return 0;
    while (*behind == ' ' || *behind == '\t')
        behind++;
    if (behind != text) return 0;
    *line = line_from(syntax, text);
    return unquoted_length(*line, word_at_start(start, "pattern") > 0 ? "for" : NULL);
}

/* "T7", "C1-19", "C19M8", "X21": capitals with numbers. */
static bool letters_and_numbers(struct syntax *syntax, const char *text, size_t length) {
    struct report *report = syntax->report;
    const char *word = COPY;
    size_t digits = count_digits(word + 1, length - 1);
    if (digits == 0 || word[0] < 'A' || word[0] > 'Z') return false;
    const char *rest = word + 1 + digits;
    bool strand = is_strand(word, 1 + digits);
    struct finding *finding;
    if ((word[0] == 'H' || word[0] == 'T') && *rest == '\0') {
        finding = report_add(report, RULE_malformed, HERE,
                             "a hole is written with its number before its letter");
        finding_help(report, finding, "write %s%c", word + 1, word[0]);
        finding_fix(report, finding, true, HERE, "%s%c", word + 1, word[0]);
    } else if (strand && *rest == '-' && count_digits(rest + 1, strlen(rest + 1)) > 0 &&
               count_digits(rest + 1, strlen(rest + 1)) == strlen(rest + 1)) {
        finding =
            report_add(report, RULE_malformed, HERE, "a run of strands is written with two points");
        const char *meant =
            format(syntax->arena, "%.*s..%c%s", (int)digits + 1, word, word[0], rest + 1);
        finding_help(report, finding, "write %s", meant);
        finding_fix(report, finding, true, HERE, "%s", meant);
    } else if (strand && is_strand(rest, strlen(rest))) {
        finding = report_add(report, RULE_malformed, HERE, "two strands stand in one word");
        finding_help(report, finding,
                     "put a space between them: %.*s %s; where they share a hole: %.*s+%s",
                     (int)digits + 1, word, rest, (int)digits + 1, word, rest);
        finding_fix(report, finding, false, HERE, "%.*s %s", (int)digits + 1, word, rest);
    } else if (!strand && *rest == '\0') {
        finding = report_add(report, RULE_malformed, HERE, "`%s` is no strand and no hole", word);
        finding_help(report, finding,
                     "mains are M1, M2 ..., crosses C1, C2 ..., holes 1H, 2H ... and 1T, 2T ...");
    } else {
        return false;
    }
    return true;
}

/* A word that is no word of the language and no name: says what was meant. */
static int malformed_word(struct syntax *syntax, const char *text, size_t length) {
    struct report *report = syntax->report;
    const char *word = COPY;
    const char *hyphen = strchr(word, '-');
    size_t before = hyphen != NULL ? (size_t)(hyphen - word) : 0, title;
    const char *line;
    struct finding *finding;
    if (hyphen != NULL && is_strand(word, before) && is_strand(hyphen + 1, length - before - 1)) {
        finding =
            report_add(report, RULE_malformed, HERE, "a run of strands is written with two points");
        finding_help(report, finding, "write %.*s..%s", (int)before, word, hyphen + 1);
        finding_fix(report, finding, true, HERE, "%.*s..%s", (int)before, word, hyphen + 1);
    } else if (strcmp(word, "H") == 0 || strcmp(word, "T") == 0) {
        finding = report_add(report, RULE_malformed, HERE,
                             "a hole is written in one word, its number before its letter");
        finding_help(report, finding, "write 7%s for the seventh hole from the centre at the %s",
                     word, word[0] == 'H' ? "head" : "throat");
        const char *at = text;
        while (at > syntax->source->bytes && (at[-1] == ' ' || at[-1] == '\t'))
            at--;
        if (at > syntax->source->bytes && is_digit(at[-1]))
            finding_fix(report, finding, true, scan_span(syntax, at, (size_t)(text + 1 - at)), "%s",
                        word);
    } else if (strcmp(word, "M") == 0 || strcmp(word, "C") == 0) {
        finding = report_add(report, RULE_malformed, HERE,
                             "a strand is written in one word, its letter before its number");
        finding_help(report, finding, "write %s3 for the third %s", word,
                     word[0] == 'M' ? "main" : "cross");
    } else if (letters_and_numbers(syntax, text, length)) {
        return TOK_SELVAGE_YYerror;
    } else if (strcmp(word, "kN") == 0) {
        finding = report_add(report, RULE_malformed, HERE, "a force is given in N, not in kN");
        finding_help(report, finding, "write 5000 N for 5 kN");
    } else if (has_capital(word) && (title = title_without_quotes(syntax, text, &line)) > 0) {
        finding = report_add(report, RULE_malformed, HERE,
                             "`%s` has a capital: only strands (M1, C1), holes (7H, 7T) and the "
                             "unit N have",
                             word);
        finding_help(report, finding, "put the title in double quotes: \"%.*s\"", (int)title, line);
        finding_fix(report, finding, false, scan_span(syntax, text, title), "\"%.*s\"", (int)title,
                    line);
    } else if (has_capital(word)) {
        const char *small = lower(syntax, word);
        finding = report_add(report, RULE_malformed, HERE,
                             "`%s` has a capital: only strands (M1, C1), holes (7H, 7T) and the "
                             "unit N have",
                             word);
        finding_help(report, finding, "write %s; titles with capitals stand in double quotes",
                     small);
        finding_fix(report, finding, false, HERE, "%s", small);
    } else {
        finding = report_add(report, RULE_malformed, HERE,
                             "`%s` is no name: a name is made of lower-case letters, digits and "
                             "single hyphens between them",
                             word);
    }
    return TOK_SELVAGE_YYerror;
}

static bool is_name(const char *text, size_t length) {
    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (c == '-') {
            if (i + 1 == length || text[i + 1] == '-') return false;
        } else if (!(c >= 'a' && c <= 'z') && !is_digit(c)) {
            return false;
        }
    }
    return true;
}

int scan_word(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    int keyword = keyword_token(text, length);
    if (keyword != 0) return keyword;
    if (length == 1 && text[0] == 'N') return TOK_N;
    if (too_long(syntax, text, length, LIMIT_NAME_BYTES, "word")) return TOK_SELVAGE_YYerror;
    if (is_strand(text, length)) return scan_strand(syntax, text, length, value);
    bool muted = syntax->report->muted;
    if (!is_name(text, length))
        return muted ? TOK_SELVAGE_YYerror : malformed_word(syntax, text, length);
    if (!muted) value->name = (struct tree_name){COPY, HERE};
    return TOK_NAME;
}

/* ---- what has no place in the text ---- */

/* Characters that look like one of ours, or that a word processor puts in its place. */
/* `instead` is what to write; NULL: nobody can tell. */
static const struct lookalike {
    uint32_t first, last;
    const char *what, *help, *instead;
} lookalikes[] = {
    {0x201C, 0x201F, "a typographic quotation mark", "write a straight \" instead", "\""},
    {0xAB, 0xAB, "a typographic quotation mark", "write a straight \" instead", "\""},
    {0xBB, 0xBB, "a typographic quotation mark", "write a straight \" instead", "\""},
    {0x2018, 0x201B, "a typographic apostrophe", "titles stand in straight double quotes: \"",
     NULL},
    {0x2010, 0x2011, "a typographic hyphen", "write the plain hyphen -", "-"},
    {0x2012, 0x2015, "a typographic dash",
     "write two points for a run (M1..M6), a plain - for an unused hole", NULL},
    {0x2212, 0x2212, "a typographic minus sign", "write the plain -", "-"},
    {0x2024, 0x2026, "typographic points", "write two plain points for a run: M1..M6", ".."},
    {0xA0, 0xA0, "a no-break space", "write a plain space", " "},
    {0x2000, 0x200A, "a typographic space", "write a plain space", " "},
    {0x202F, 0x202F, "a narrow no-break space", "write a plain space", " "},
    {0x200B, 0x200F, "an invisible character", "take it out", ""},
    {0x202A, 0x202E, "an invisible character that turns the direction of the text", "take it out",
     ""},
    {0x2066, 0x2069, "an invisible character that turns the direction of the text", "take it out",
     ""},
    {0xFEFF, 0xFEFF, "an invisible character", "take it out", ""},
    {0x41C, 0x41C, "a Cyrillic letter", "it looks like M: type it with the Latin keyboard", "M"},
    {0x421, 0x421, "a Cyrillic letter", "it looks like C: type it with the Latin keyboard", "C"},
    {0x41D, 0x41D, "a Cyrillic letter", "it looks like H: type it with the Latin keyboard", "H"},
    {0x422, 0x422, "a Cyrillic letter", "it looks like T: type it with the Latin keyboard", "T"},
    {0x39C, 0x39C, "a Greek letter", "it looks like M: type it with the Latin keyboard", "M"},
    {0x397, 0x397, "a Greek letter", "it looks like H: type it with the Latin keyboard", "H"},
    {0x3A4, 0x3A4, "a Greek letter", "it looks like T: type it with the Latin keyboard", "T"},
    {0x410, 0x44F, "a Cyrillic letter",
     "type it with the Latin keyboard: M and C look alike and are not", NULL},
    {0x391, 0x3C9, "a Greek letter", "type it with the Latin keyboard", NULL},
    {0xD7, 0xD7, "a multiplication sign", "it has no place here", NULL},
    {0x2032, 0x2033, "a foot or inch mark", "write the unit in: 9.5 in", NULL},
};

static bool is_alphanumeric(char c) {
    return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_foreign_quote(uint32_t c) {
    return (c >= 0x201C && c <= 0x201F) || c == 0xAB || c == 0xBB;
}

/* A title between two typographic quotation marks, or one and a straight one: how long it is with
 * both; 0 where the line does not hold the second. */
static size_t quoted_length(const struct syntax *syntax, const char *text, size_t first) {
    const char *end = syntax->source->bytes + syntax->source->length;
    if (end - text > LIMIT_TITLE_BYTES + 10) end = text + LIMIT_TITLE_BYTES + 10;
    for (const char *at = text + first; at < end && *at != '\n';) {
        size_t step;
        uint32_t c = utf8_decode(at, (size_t)(end - at), &step);
        at += step;
        if (c == '"' || is_foreign_quote(c)) return (size_t)(at - text);
    }
    return 0;
}

static int foreign_quotes(struct syntax *syntax, const char *text, size_t length, uint32_t c) {
    size_t first, last = length - 1;
    utf8_decode(text, length, &first);
    while (last > 0 && ((unsigned char)text[last] & 0xC0) == 0x80)
        last--;
    struct finding *finding =
        report_add(syntax->report, RULE_stray, scan_span(syntax, text, first),
                   "a typographic quotation mark (U+%04X) has no meaning here", (unsigned)c);
    finding_help(syntax->report, finding, "write a straight \" instead");
    finding_fix(syntax->report, finding, true, HERE, "\"%.*s\"", (int)(last - first), text + first);
    return TOK_SELVAGE_YYerror;
}

int scan_foreign(struct syntax *syntax, const char *text, size_t length,
                 union syntax_value *value) {
    (void)value;
    size_t first_length;
    uint32_t c = utf8_decode(text, length, &first_length);
    static const struct lookalike any = {
        0, 0, "a character",
        "outside titles and comments the text is plain: letters a to z, digits and "
        ". , ; + - % { } #",
        NULL};
    const struct lookalike *like = &any;
    for (size_t i = 0; i < sizeof lookalikes / sizeof *lookalikes && like == &any; i++)
        if (c >= lookalikes[i].first && c <= lookalikes[i].last) like = &lookalikes[i];
    size_t title = like->instead != NULL && like->instead[0] == '"'
                       ? quoted_length(syntax, text, first_length)
                       : 0;
    if (title > 0) return foreign_quotes(syntax, text, title, c);
    /* A dash behind a number is a run's: M1 to M6. */
    bool run = c >= 0x2012 && c <= 0x2015 && text > syntax->source->bytes && is_digit(text[-1]);
    struct span here = scan_span(syntax, text, first_length);
    struct finding *finding =
        report_add(syntax->report, RULE_stray, here, "%s (U+%04X) has no meaning here", like->what,
                   (unsigned)c);
    finding_help(syntax->report, finding, "%s", like->help);
    const char *instead = run ? ".." : like->instead;
    /* what cannot be seen between two letters parts two words */
    bool parts = instead != NULL && instead[0] == '\0' && text > syntax->source->bytes &&
                 is_alphanumeric(text[-1]) && is_alphanumeric(text[first_length]);
    if (parts && c == 0x200B) instead = " ";
    if (instead != NULL) finding_fix(syntax->report, finding, true, here, "%s", instead);
    return TOK_SELVAGE_YYerror;
}

static bool begins_line(const struct syntax *syntax, const char *text) {
    while (text > syntax->source->bytes && (text[-1] == ' ' || text[-1] == '\t'))
        text--;
    return text == syntax->source->bytes || text[-1] == '\n';
}

int scan_bracket(struct syntax *syntax, const char *text, size_t length,
                 union syntax_value *value) {
    bool opens = text[0] == '[' || text[0] == '(';
    if (!opens && !begins_line(syntax, text)) return scan_stray(syntax, text, length, value);
    struct finding *finding =
        report_add(syntax->report, RULE_stray, HERE, "`%c` has no meaning here", text[0]);
    finding_help(syntax->report, finding, "a block stands in braces: write %c", opens ? '{' : '}');
    finding_fix(syntax->report, finding, true, HERE, "%c", opens ? '{' : '}');
    return opens ? TOK_OPEN : TOK_CLOSE;
}

static struct finding *stray(struct syntax *syntax, struct span span, const char *text) {
    return report_add(syntax->report, RULE_stray, span, "`%c` has no meaning here", text[0]);
}

/* "M1.M6" and "M1:M6" for a run, "sport: tennis". */
static bool stray_point(struct syntax *syntax, const char *text) {
    bool colon = text[0] == ':';
    if ((!colon && text[0] != '.') || text == syntax->source->bytes) return false;
    struct span here = scan_span(syntax, text, 1);
    bool letter = text[1] == 'M' || text[1] == 'C' || is_digit(text[1]);
    if (is_digit(text[-1]) && letter) {
        struct finding *finding = stray(syntax, here, text);
        finding_help(syntax->report, finding, "a run is written with two points: M1..M6");
        finding_fix(syntax->report, finding, true, here, "%s", "..");
        return true;
    }
    if (!colon || !(text[-1] >= 'a' && text[-1] <= 'z')) return false;
    struct finding *finding = stray(syntax, here, text);
    finding_help(syntax->report, finding,
                 "no colon stands behind a line's first word: take it out");
    finding_fix(syntax->report, finding, true, here, "%s", text[1] == ' ' ? "" : " ");
    return true;
}

/* "N/mm", and comments of other languages. */
static bool stray_slash(struct syntax *syntax, const char *text) {
    if (text[0] == '/' && strncmp(text + 1, "mm", 2) == 0 && text > syntax->source->bytes &&
        strchr("Ngb", text[-1]) != NULL) {
        struct span here = scan_span(syntax, text, 1);
        struct finding *finding = stray(syntax, here, text);
        finding_help(syntax->report, finding, "write per in place of it: N per mm");
        finding_fix(syntax->report, finding, true, here, "%s", " per ");
        return true;
    }
    if (text[0] != '/' || (text[1] != '/' && text[1] != '*')) return false;
    struct finding *finding = stray(syntax, scan_span(syntax, text, 1), text);
    finding_help(syntax->report, finding, "a comment begins with # and ends with its line");
    if (text[1] == '/')
        finding_fix(syntax->report, finding, true, scan_span(syntax, text, 2), "%s", "#");
    return true;
}

int scan_points(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    (void)value;
    struct finding *finding = report_add(syntax->report, RULE_malformed, HERE,
                                         "a run is written with two points, not with more");
    finding_help(syntax->report, finding, "write M1..M6");
    finding_fix(syntax->report, finding, true, HERE, "%s", "..");
    return TOK_SELVAGE_YYerror;
}

int scan_stray(struct syntax *syntax, const char *text, size_t length, union syntax_value *value) {
    (void)value;
    struct finding *finding;
    if (text[0] == '\\') {
        finding = report_add(syntax->report, RULE_stray, HERE, "`\\` has no meaning here");
        finding_help(syntax->report, finding,
                     "a title has no escapes and holds no double quote: use single ones");
    } else if (stray_point(syntax, text) || stray_slash(syntax, text)) {
        return TOK_SELVAGE_YYerror;
    } else if (text[0] == '\'') {
        finding =
            report_add(syntax->report, RULE_stray, HERE, "a single quote has no meaning here");
        finding_help(syntax->report, finding, "titles stand in double quotes: \"");
    } else if (text[0] > ' ' && text[0] < 0x7F) {
        report_add(syntax->report, RULE_stray, HERE, "`%c` has no meaning here", text[0]);
    } else {
        report_add(syntax->report, RULE_stray, HERE,
                   "a control character (U+%04X) has no meaning here",
                   (unsigned)(unsigned char)text[0]);
    }
    return TOK_SELVAGE_YYerror;
}
