/* Findings: collected at every stage, sorted by place, printed at the end. Knows no tree and no
 * model, and prints nothing itself: it fills an output. */
#ifndef SELVAGE_REPORT_REPORT_H
#define SELVAGE_REPORT_REPORT_H

#include "ground/arena.h"
#include "ground/output.h"
#include "ground/source.h"

#include <stdbool.h>

enum severity { SEVERITY_ERROR, SEVERITY_WARNING, SEVERITY_ADVICE, SEVERITIES };

enum rule {
    RULE_nothing = 0,
#define RULE(number, name, severity, stage, needs, title) RULE_##name = number,
#include "report/rules.def"
#undef RULE
};

struct note {
    struct span span; /* may be no place */
    const char *text;
    struct note *next;
};

struct finding {
    enum rule rule;
    enum severity severity;
    struct span span;
    const char *message;
    struct note *notes; /* in the order they were given */
    const char *help;   /* what to do next; NULL where the message says it */
    size_t order;       /* of being found */
    size_t subject;     /* what the report was about then */
};

struct report {
    struct arena *arena;
    const struct source_map *sources;
    array_of(struct finding *) findings;
    size_t counts[SEVERITIES];
    size_t dropped;         /* beyond LIMIT_FINDINGS */
    struct finding surplus; /* what report_add gives back for those, and while muted */
    size_t subject;         /* 0: the text; else the number of the pattern at work, from 1 */
    bool muted;             /* the line is known to be bad: say no more of it */
};

struct report report_in(struct arena *arena, const struct source_map *sources);

/* Adds a finding and gives it back for notes and help. Never NULL. */
__attribute__((format(printf, 4, 5))) struct finding *
report_add(struct report *report, enum rule rule, struct span span, const char *format, ...);

__attribute__((format(printf, 4, 5))) void finding_note(struct report *report,
                                                        struct finding *finding, struct span span,
                                                        const char *format, ...);

__attribute__((format(printf, 3, 4))) void
finding_help(struct report *report, struct finding *finding, const char *format, ...);

bool report_sound(const struct report *report); /* no error so far */

/* Whether a code has fired since the report held `since` findings. */
bool report_fired(const struct report *report, enum rule rule, size_t since);

/* Sorts by place, drops repeats. Call once, before printing. */
void report_finish(struct report *report);

/* The rule's code ("SV-301"), its title, its name in words ("strand missed"). */
const char *severity_word(enum severity severity);
char *rule_code(struct arena *arena, enum rule rule);
const char *rule_title(enum rule rule);
enum severity rule_severity(enum rule rule);

/* The report for people: place, line, caret, notes, help; at most LIMIT_SHOWN findings, then how
 * many more. Nothing at all where nothing was found. */
void report_text(const struct report *report, struct output *out);

#endif
