/* Collecting, sorting and counting findings. */
#include "report/report.h"

#include "ground/limits.h"

#include <stdlib.h>
#include <string.h>

#define SEVERITY_FAULT SEVERITY_ERROR
enum { IS_FAULT, IS_ERROR, IS_WARNING, IS_ADVICE };

static const struct {
    enum rule rule;
    enum severity severity;
    bool fault;
    const char *title;
} rules[] = {
#define RULE(number, name, severity, stage, needs, title)                                          \
    {RULE_##name, SEVERITY_##severity, IS_##severity == IS_FAULT, title},
#include "report/rules.def"
#undef RULE
};

size_t rule_count(void) { return sizeof rules / sizeof *rules; }

size_t rule_row(enum rule rule) {
    size_t row = 0;
    while (rules[row].rule != rule)
        row++;
    return row;
}

bool rule_exists(int number) {
    for (size_t row = 0; row < rule_count(); row++)
        if ((int)rules[row].rule == number) return true;
    return false;
}

const char *rule_title(enum rule rule) { return rules[rule_row(rule)].title; }
enum severity rule_severity(enum rule rule) { return rules[rule_row(rule)].severity; }
char *rule_code(struct arena *arena, enum rule rule) { return format(arena, "SV-%d", (int)rule); }

const char *severity_word(enum severity severity) {
    static const char *const words[] = {"error", "warning", "advice", "ignored"};
    return words[severity];
}

struct report report_in(struct arena *arena, const struct source_map *sources) {
    return (struct report){.arena = arena, .sources = sources, .least = SEVERITY_ADVICE};
}

static bool names_rule(const struct setting *setting, enum rule rule) {
    return rule >= setting->first && rule <= setting->last;
}

static bool is_within(const struct setting *setting, struct span span) {
    return span.start >= setting->covers.start && span.start < setting->covers.end;
}

/* Whether a setting counts before another: what is set beside a statement before what is set for
 * its definition, and that before what is set for the whole run; of equals the later. */
static bool counts_before(const struct setting *later, const struct setting *earlier) {
    if (!span_given(earlier->covers)) return true;
    return span_given(later->covers) &&
           later->covers.end - later->covers.start <= earlier->covers.end - earlier->covers.start;
}

static const struct setting *setting_for(struct report *report, enum rule rule, struct span span) {
    struct setting *found = NULL;
    for (size_t i = 0; i < report->settings.count; i++) {
        struct setting *setting = &report->settings.at[i];
        if (!names_rule(setting, rule)) continue;
        if (span_given(setting->covers) && !is_within(setting, span)) continue;
        if (found == NULL || counts_before(setting, found)) found = setting;
    }
    if (found != NULL) found->met = true;
    return found;
}

struct finding *report_add(struct report *report, enum rule rule, struct span span,
                           const char *format, ...) {
    if (report->muted) return &report->surplus;
    size_t row = rule_row(rule);
    const struct setting *setting = setting_for(report, rule, span);
    enum severity severity = setting != NULL ? setting->severity : rules[row].severity;
    if (severity < SEVERITIES) report->counts[severity]++;
    if (severity == SEVERITY_ERROR || rules[row].fault) report->blocking++;
    if (rules[row].severity == SEVERITY_ERROR) report->own_errors++;
    if (report->findings.count >= LIMIT_FINDINGS) {
        report->dropped++;
        return &report->surplus;
    }
    struct finding *finding = arena_one(report->arena, struct finding);
    finding->rule = rule;
    finding->severity = severity;
    finding->setting = setting;
    finding->span = span;
    va_list list;
    va_start(list, format);
    finding->message = format_list(report->arena, format, list);
    va_end(list);
    finding->order = report->findings.count;
    finding->subject = report->subject;
    *array_add(report->arena, &report->findings) = finding;
    return finding;
}

void finding_note(struct report *report, struct finding *finding, struct span span,
                  const char *format, ...) {
    if (finding == &report->surplus) return;
    struct note *note = arena_one(report->arena, struct note);
    note->span = span;
    va_list list;
    va_start(list, format);
    note->text = format_list(report->arena, format, list);
    va_end(list);
    struct note **last = &finding->notes;
    while (*last != NULL)
        last = &(*last)->next;
    *last = note;
}

void finding_help(struct report *report, struct finding *finding, const char *format, ...) {
    if (finding == &report->surplus) return;
    va_list list;
    va_start(list, format);
    finding->help = format_list(report->arena, format, list);
    va_end(list);
}

void finding_fix(struct report *report, struct finding *finding, bool safe, struct span span,
                 const char *format, ...) {
    if (finding == &report->surplus || !span_given(span)) return;
    va_list list;
    va_start(list, format);
    finding->fix = (struct fix){span, format_list(report->arena, format, list), safe};
    va_end(list);
}

bool report_fired(const struct report *report, enum rule rule, size_t since) {
    for (size_t i = since; i < report->findings.count; i++)
        if (report->findings.at[i]->rule == rule) return true;
    return false;
}

bool finding_concerns(const struct finding *finding, size_t subject) {
    for (; finding != NULL; finding = finding->repeat)
        if (finding->subject == 0 || finding->subject == subject) return true;
    return false;
}

static bool blocks(const struct finding *finding) {
    return finding->severity == SEVERITY_ERROR || rules[rule_row(finding->rule)].fault;
}

void report_weigh_anew(struct report *report, struct span span) {
    for (size_t i = 0; i < report->findings.count; i++) {
        struct finding *finding = report->findings.at[i];
        if (finding->span.start < span.start || finding->span.start >= span.end) continue;
        const struct setting *setting = setting_for(report, finding->rule, finding->span);
        if (setting == NULL) continue;
        if (finding->severity < SEVERITIES) report->counts[finding->severity]--;
        report->blocking -= blocks(finding);
        finding->severity = setting->severity;
        finding->setting = setting;
        report->blocking += blocks(finding);
        if (finding->severity < SEVERITIES) report->counts[finding->severity]++;
    }
}

static int by_place(const void *left, const void *right) {
    const struct finding *a = *(struct finding *const *)left;
    const struct finding *b = *(struct finding *const *)right;
    if (a->span.start != b->span.start) return a->span.start < b->span.start ? -1 : 1;
    if (a->rule != b->rule) return a->rule < b->rule ? -1 : 1;
    return a->order < b->order ? -1 : a->order > b->order;
}

static bool same(const struct finding *a, const struct finding *b) {
    return a->rule == b->rule && a->span.start == b->span.start && a->span.end == b->span.end &&
           strcmp(a->message, b->message) == 0;
}

static void forget(struct report *report, const struct finding *finding) {
    if (finding->severity < SEVERITIES) report->counts[finding->severity]--;
}

/* A frame's finding comes once for each pattern on it and is told once. */
static void keep_subject(struct report *report, struct finding *kept, struct finding *repeat) {
    forget(report, repeat);
    repeat->repeat = kept->repeat;
    kept->repeat = repeat;
}

void report_finish(struct report *report) {
    size_t count = report->findings.count, kept = 0;
    if (count == 0) return;
    struct finding **at = report->findings.at;
    qsort(at, count, sizeof(struct finding *), by_place);
    for (size_t i = 0; i < count; i++) {
        if (kept > 0 && same(at[kept - 1], at[i]))
            keep_subject(report, at[kept - 1], at[i]);
        else
            at[kept++] = at[i];
    }
    report->findings.count = kept;
}
