/* Settings: what they are about, and which lines they cover. */
#include "report/settings.h"

#include "ground/limits.h"
#include "ground/nearest.h"

#include <string.h>

static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
static bool is_digit(char c) { return c >= '0' && c <= '9'; }

static bool same_word(const char *text, size_t length, const char *word) {
    return strlen(word) == length && memcmp(text, word, length) == 0;
}

/* ---- what a setting is about ---- */

static bool find_family(const char *what, size_t length, enum rule *first, enum rule *last) {
    static const struct {
        const char *word;
        int first, last;
    } families[] = {{"text", 100, 199},   {"holes", 200, 299}, {"route", 300, 399},
                    {"weave", 400, 499},  {"order", 500, 599}, {"finish", 600, 699},
                    {"limits", 700, 799}, {"play", 800, 899},  {"all", 1, RULE_last}};
    for (size_t i = 0; i < sizeof families / sizeof *families; i++) {
        if (!same_word(what, length, families[i].word)) continue;
        *first = (enum rule)families[i].first;
        *last = (enum rule)families[i].last;
        return true;
    }
    return false;
}

static bool is_code(const char *what, size_t length) {
    bool prefix = length > 3 && (what[0] == 'S' || what[0] == 's') &&
                  (what[1] == 'V' || what[1] == 'v') && what[2] == '-';
    for (size_t i = 3; prefix && i < length; i++)
        if (!is_digit(what[i])) return false;
    return prefix;
}

bool setting_codes(const char *what, size_t length, enum rule *first, enum rule *last) {
    if (find_family(what, length, first, last)) return true;
    if (length != 6 || !is_code(what, length)) return false;
    int number = 0;
    for (size_t i = 3; i < length; i++)
        number = number * 10 + (what[i] - '0');
    *first = *last = (enum rule)number;
    return rule_exists(number);
}

static size_t length_to_comma(const char *list) { return strcspn(list, ","); }

bool setting_list_known(const char *list) {
    for (;; list++) {
        enum rule first, last;
        size_t length = length_to_comma(list);
        if (!setting_codes(list, length, &first, &last)) return false;
        list += length;
        if (*list == '\0') return true;
    }
}

void setting_for_run(struct report *report, const char *list, enum severity severity) {
    for (;; list++) {
        struct setting setting = {.severity = severity, .reason = "set for this run"};
        size_t length = length_to_comma(list);
        if (setting_codes(list, length, &setting.first, &setting.last))
            *array_add(report->arena, &report->settings) = setting;
        list += length;
        if (*list == '\0') return;
    }
}

/* ---- settings in the text ---- */

/* How far a statement or a definition is followed, in bytes, for a setting to cover it. */
enum { FARTHEST = 64 * 1024 };

/* Past blanks, line ends and comments. */
static size_t next_word_at(const struct source *source, size_t at, size_t end) {
    bool in_comment = false;
    for (; at < end; at++) {
        char c = source->bytes[at];
        if (c == '\n')
            in_comment = false;
        else if (c == '#')
            in_comment = true;
        else if (!in_comment && !is_blank(c))
            break;
    }
    return at;
}

/* Where the statement or the definition ends that goes on at a place: a statement goes on after a
 * comma, a definition to the brace that closes it. `depth`: braces open there. */
static size_t reach(const struct source *source, size_t at, int depth) {
    bool in_title = false, in_comment = false;
    char last = ','; /* nothing of it seen yet */
    size_t end = source->length - at > FARTHEST ? at + FARTHEST : source->length;
    for (; at < end; at++) {
        char c = source->bytes[at];
        if (c == '\n') {
            in_title = in_comment = false;
            if (depth > 0 || last == ',') continue;
            size_t next = next_word_at(source, at, end);
            if (next == end || source->bytes[next] != '{') return at;
        } else if (in_comment || is_blank(c)) {
            continue;
        } else if (c == '#' && !in_title) {
            in_comment = true;
        } else {
            if (c == '"') in_title = !in_title;
            if (!in_title && c == '{') depth++;
            if (!in_title && c == ';' && depth == 0) return at;
            if (!in_title && c == '}' && --depth <= 0) return at;
            last = c;
        }
    }
    return at;
}

static struct span covered_by(const struct source *source, struct span comment,
                              struct setting_place place) {
    size_t at = comment.start - source->base, end = at;
    uint32_t start = span_given(place.begun) ? place.begun.start : comment.start;
    if (place.next) {
        size_t most = source->length - at > FARTHEST ? at + FARTHEST : source->length;
        size_t first = next_word_at(source, at, most);
        bool brace = first < most && source->bytes[first] == '{';
        end = reach(source, brace ? first + 1 : at, 0);
    } else if (place.goes_on) {
        end = reach(source, at, place.depth);
    }
    return (struct span){start, source->base + (uint32_t)end + 1};
}

/* Words of a comment, taken one after another. */
struct words {
    const char *at, *end;
};

static void skip_blanks(struct words *words) {
    while (words->at < words->end && is_blank(*words->at))
        words->at++;
}

static size_t next_word(struct words *words, const char **word) {
    skip_blanks(words);
    *word = words->at;
    while (words->at < words->end && !is_blank(*words->at) && *words->at != ':' &&
           *words->at != ',')
        words->at++;
    return (size_t)(words->at - *word);
}

/* Passes over a mark, with the blanks before it. */
static bool take_mark(struct words *words, char mark) {
    skip_blanks(words);
    bool there = words->at < words->end && *words->at == mark;
    words->at += there;
    return there;
}

static const struct {
    const char *word;
    enum severity severity;
} severities[] = {
    {"ignore", SEVERITY_IGNORED}, {"warn", SEVERITY_WARNING}, {"error", SEVERITY_ERROR}};
enum { SEVERITY_WORDS = sizeof severities / sizeof *severities };

static bool take_severity(const char *word, size_t length, enum severity *severity) {
    for (size_t i = 0; i < SEVERITY_WORDS; i++) {
        if (!same_word(word, length, severities[i].word)) continue;
        *severity = severities[i].severity;
        return true;
    }
    return false;
}

static const char *small(struct arena *arena, const char *word, size_t length) {
    char *copy = arena_copy(arena, word, length);
    for (char *at = copy; *at != '\0'; at++)
        if (*at >= 'A' && *at <= 'Z') *at = (char)(*at - 'A' + 'a');
    return copy;
}

/* The word that is meant by one like "Ignore", "ignored" or "warning"; NULL where none is. */
static const char *near_severity(struct arena *arena, const char *word, size_t length) {
    if (length > 10) return NULL;
    const char *text = small(arena, word, length);
    for (size_t i = 0; i < SEVERITY_WORDS; i++)
        if (strncmp(text, severities[i].word, strlen(severities[i].word)) == 0)
            return severities[i].word;
    const char *known[SEVERITY_WORDS];
    for (size_t i = 0; i < SEVERITY_WORDS; i++)
        known[i] = severities[i].word;
    return nearest_of(text, known, SEVERITY_WORDS);
}

static const char *near_family(struct arena *arena, const char *word, size_t length) {
    static const char *const known[] = {"text",   "holes",  "route", "weave", "order",
                                        "finish", "limits", "play",  "all"};
    if (length < 3 || length > 10) return NULL;
    return nearest_of(small(arena, word, length), known, sizeof known / sizeof *known);
}

__attribute__((format(printf, 4, 5))) static void
complain(struct report *report, struct span comment, const char *message, const char *help, ...) {
    va_list list;
    va_start(list, help);
    const char *text = format_list(report->arena, help, list);
    va_end(list);
    finding_help(report, report_add(report, RULE_setting_unclear, comment, "%s", message), "%s",
                 text);
}

/* One more than there may be is told once. */
static bool any_room(struct report *report, struct span comment) {
    if (report->settings.count < LIMIT_SETTINGS) return true;
    if (!report->settings_full)
        report_add(report, RULE_too_many, comment,
                   "more than %d settings of severities: this one and those that follow do "
                   "not count",
                   LIMIT_SETTINGS);
    report->settings_full = true;
    return false;
}

/* What a comment is to set: a word, a code or family or several of them, whether a colon follows.
 */
struct wish {
    const char *word, *codes;
    size_t length, codes_length, code_length; /* of the word, of all codes, of the first */
    bool colon, code, known;                  /* the first looks like a code; all are known */
    const char *unknown;                      /* the first that is not known */
    size_t unknown_length;
};

static struct wish read_wish(struct words *words) {
    struct wish wish = {.known = true};
    wish.length = next_word(words, &wish.word);
    bool more = true;
    for (size_t count = 0; more; count++) {
        struct words before = *words;
        const char *what;
        enum rule first, last;
        bool comma = count > 0 && take_mark(words, ',');
        size_t length = next_word(words, &what);
        bool known = setting_codes(what, length, &first, &last), code = is_code(what, length);
        if (count > 0 && !comma && !code) { /* the list has ended */
            *words = before;
            break;
        }
        if (count == 0) {
            wish.codes = what;
            wish.code_length = length;
            wish.code = code;
        }
        if (!known && wish.known) {
            wish.unknown = what;
            wish.unknown_length = length;
        }
        wish.known &= known;
        wish.codes_length = (size_t)(what + length - wish.codes);
        more = words->at < words->end && length > 0;
    }
    wish.colon = take_mark(words, ':');
    return wish;
}

/* Whether a comment is meant for a setting; a finding where it is, and is not understood. */
static bool judge_wish(struct report *report, struct span comment, const struct wish *wish,
                       enum severity *severity) {
    struct arena *arena = report->arena;
    if (!wish->code && !wish->colon) return false;
    bool exact = take_severity(wish->word, wish->length, severity);
    const char *near = exact ? NULL : near_severity(arena, wish->word, wish->length);
    if (!exact && near == NULL) return false;
    const char *family =
        wish->known || wish->code ? NULL : near_family(arena, wish->codes, wish->code_length);
    bool one = wish->codes_length == wish->code_length;
    bool meant = wish->code || (wish->colon && (wish->known || (family != NULL && one)));
    if (!meant || (!exact && !wish->code && !wish->known)) return false;
    if (!any_room(report, comment)) return false;
    if (!exact)
        complain(report, comment, "this sets nothing: a setting begins with ignore, warn or error",
                 "write: # %s %.*s: and the reason", near, (int)wish->codes_length, wish->codes);
    else if (family != NULL)
        complain(report, comment, "no finding and no family has this code", "did you mean %s?",
                 family);
    else if (!wish->known)
        complain(report, comment, "no finding has this code",
                 "there is no %.*s; selvage explain lists the codes there are",
                 (int)wish->unknown_length, wish->unknown);
    return exact && wish->known;
}

void setting_from_comment(struct report *report, const struct source *source, struct span comment,
                          struct setting_place place) {
    const char *start = source->bytes + (comment.start - source->base);
    struct words words = {start + 1, start + (comment.end - comment.start)};
    struct setting setting = {.span = comment};
    struct wish wish = read_wish(&words);
    if (!judge_wish(report, comment, &wish, &setting.severity)) return;
    skip_blanks(&words);
    while (words.end > words.at && is_blank(words.end[-1]))
        words.end--;
    if (!wish.colon || words.at == words.end) {
        complain(report, comment, "this setting gives no reason",
                 "write it after a colon, for those who read the pattern next");
        return;
    }
    setting.reason = arena_copy(report->arena, words.at, (size_t)(words.end - words.at));
    setting.covers = covered_by(source, comment, place);
    struct words codes = {wish.codes, wish.codes + wish.codes_length};
    while (codes.at < codes.end) {
        const char *what;
        size_t length = next_word(&codes, &what);
        take_mark(&codes, ',');
        setting_codes(what, length, &setting.first, &setting.last);
        setting.what = arena_copy(report->arena, what, length);
        if (!any_room(report, comment)) return;
        *array_add(report->arena, &report->settings) = setting;
        report_weigh_anew(report, setting.covers);
    }
}

/* A setting may be repeated beside several statements, as when legs are written out: it is idle
 * where none of them meets anything. */
static bool met_elsewhere(const struct report *report, const struct setting *setting) {
    for (size_t i = 0; i < report->settings.count; i++) {
        const struct setting *other = &report->settings.at[i];
        bool same = other->met && other->first == setting->first && other->last == setting->last &&
                    other->severity == setting->severity;
        if (same && strcmp(other->reason, setting->reason) == 0) return true;
    }
    return false;
}

void judge_idle_settings(struct report *report, const struct source *source) {
    for (size_t i = 0; i < report->settings.count; i++) {
        const struct setting *setting = &report->settings.at[i];
        bool here = setting->span.start >= source->base &&
                    setting->span.start < source->base + source->length;
        if (!span_given(setting->span) || !here || setting->met) continue;
        if (setting->severity == SEVERITY_ERROR) continue; /* it hides nothing, and may wait */
        if (met_elsewhere(report, setting)) continue;
        bool code = setting->first == setting->last;
        struct finding *finding =
            report_add(report, RULE_setting_idle, setting->span,
                       "this setting has nothing to %s here: no %s%s in its statement",
                       setting->severity == SEVERITY_IGNORED ? "set aside" : "weigh",
                       code ? "" : "finding of ",
                       code ? rule_code(report->arena, setting->first) : setting->what);
        finding_help(report, finding,
                     "take the comment out, or put it behind or above the statement it is "
                     "meant for");
    }
}
