/* Settings: what they are about, and which lines they cover. */
#include "report/settings.h"

#include "ground/limits.h"

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
    } families[] = {{"text", 100, 199},   {"holes", 200, 299},  {"route", 300, 399},
                    {"weave", 400, 499},  {"order", 500, 599},  {"finish", 600, 699},
                    {"limits", 700, 799}, {"all", 1, RULE_last}};
    for (size_t i = 0; i < sizeof families / sizeof *families; i++) {
        if (!same_word(what, length, families[i].word)) continue;
        *first = (enum rule)families[i].first;
        *last = (enum rule)families[i].last;
        return true;
    }
    return false;
}

bool setting_codes(const char *what, size_t length, enum rule *first, enum rule *last) {
    if (find_family(what, length, first, last)) return true;
    if (length != 6 || memcmp(what, "SV-", 3) != 0) return false;
    int number = 0;
    for (size_t i = 3; i < length; i++) {
        if (!is_digit(what[i])) return false;
        number = number * 10 + (what[i] - '0');
    }
    *first = *last = (enum rule)number;
    return rule_exists(number);
}

void setting_for_run(struct report *report, const char *what, enum severity severity) {
    struct setting setting = {.severity = severity, .reason = "set for this run"};
    if (setting_codes(what, strlen(what), &setting.first, &setting.last))
        *array_add(report->arena, &report->settings) = setting;
}

/* ---- settings in the text ---- */

/* How far a statement reaches, in bytes, for a setting to cover it. */
enum { FARTHEST = 64 * 1024 };

/* Where the statement ends that begins at `at` or in one of the lines that follow: it goes on after
 * a comma, past lines with comments and empty ones. */
static size_t statement_end(const struct source *source, size_t at) {
    bool in_title = false, in_comment = false;
    char last = ','; /* nothing of it seen yet */
    size_t end = source->length - at > FARTHEST ? at + FARTHEST : source->length;
    for (; at < end; at++) {
        char c = source->bytes[at];
        if (c == '\n') {
            if (last != ',') return at;
            in_title = in_comment = false;
        } else if (c == '#' && !in_title) {
            in_comment = true;
        } else if (!in_comment && !is_blank(c)) {
            if (c == '"') in_title = !in_title;
            last = c;
        }
    }
    return at;
}

static struct span covered_by(const struct source *source, struct span comment) {
    size_t start = comment.start - source->base;
    while (start > 0 && source->bytes[start - 1] != '\n')
        start--;
    size_t end = statement_end(source, start);
    return (struct span){source->base + (uint32_t)start, source->base + (uint32_t)end + 1};
}

static bool take_severity(const char *word, size_t length, enum severity *severity) {
    static const struct {
        const char *word;
        enum severity severity;
    } words[] = {
        {"ignore", SEVERITY_IGNORED}, {"warn", SEVERITY_WARNING}, {"error", SEVERITY_ERROR}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (!same_word(word, length, words[i].word)) continue;
        *severity = words[i].severity;
        return true;
    }
    return false;
}

/* Words of a comment, taken one after another. */
struct words {
    const char *at, *end;
};

static size_t next_word(struct words *words, const char **word) {
    while (words->at < words->end && is_blank(*words->at))
        words->at++;
    *word = words->at;
    while (words->at < words->end && !is_blank(*words->at) && *words->at != ':')
        words->at++;
    return (size_t)(words->at - *word);
}

static void complain(struct report *report, struct span comment, const char *message,
                     const char *help) {
    finding_help(report, report_add(report, RULE_setting_unclear, comment, "%s", message), "%s",
                 help);
}

void setting_from_comment(struct report *report, const struct source *source, struct span comment) {
    const char *start = source->bytes + (comment.start - source->base);
    struct words words = {start + 1, start + (comment.end - comment.start)};
    struct setting setting = {.span = comment};
    const char *word, *what;
    size_t length = next_word(&words, &word);
    if (!take_severity(word, length, &setting.severity)) return;
    size_t what_length = next_word(&words, &what);
    bool code = what_length > 3 && memcmp(what, "SV-", 3) == 0;
    while (words.at < words.end && is_blank(*words.at))
        words.at++;
    bool colon = words.at < words.end && *words.at == ':';
    bool known = setting_codes(what, what_length, &setting.first, &setting.last);
    if (!code && !(known && colon)) return; /* a comment like any other */
    if (report->settings.count >= LIMIT_SETTINGS) {
        if (!report->settings_full)
            report_add(report, RULE_too_many, comment,
                       "more than %d settings of severities: this one and those that follow do "
                       "not count",
                       LIMIT_SETTINGS);
        report->settings_full = true;
        return;
    }
    if (!known) {
        complain(report, comment, "no finding has this code",
                 "selvage explain lists the codes there are");
        return;
    }
    if (colon) words.at++;
    while (words.at < words.end && is_blank(*words.at))
        words.at++;
    while (words.end > words.at && is_blank(words.end[-1]))
        words.end--;
    if (!colon || words.at == words.end) {
        complain(report, comment, "this setting gives no reason",
                 "write it after a colon, for those who read the pattern next");
        return;
    }
    setting.reason = arena_copy(report->arena, words.at, (size_t)(words.end - words.at));
    setting.covers = covered_by(source, comment);
    *array_add(report->arena, &report->settings) = setting;
}

void judge_idle_settings(struct report *report, const struct source *source) {
    for (size_t i = 0; i < report->settings.count; i++) {
        const struct setting *setting = &report->settings.at[i];
        bool here = setting->span.start >= source->base &&
                    setting->span.start < source->base + source->length;
        if (!span_given(setting->span) || !here || setting->met) continue;
        if (setting->severity == SEVERITY_ERROR) continue; /* it hides nothing, and may wait */
        struct finding *finding =
            report_add(report, RULE_setting_idle, setting->span,
                       "nothing of what this setting is about is found in the line it stands by");
        finding_help(report, finding,
                     "take the comment out, or put it on or above the line it is "
                     "meant for");
    }
}
