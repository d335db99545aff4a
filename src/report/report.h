/* Findings: collected at every stage, sorted by place, printed at the end. Knows no tree and no
 * model, and prints nothing itself: it fills an output. */
#ifndef SELVAGE_REPORT_REPORT_H
#define SELVAGE_REPORT_REPORT_H

#include "ground/arena.h"
#include "ground/output.h"
#include "ground/source.h"

#include <stdbool.h>

enum severity {
    SEVERITY_ERROR,
    SEVERITY_WARNING,
    SEVERITY_ADVICE,
    SEVERITIES,
    SEVERITY_IGNORED = SEVERITIES /* found, but set aside: not shown */
};

enum rule {
    RULE_nothing = 0,
    RULE_last = 999,
#define RULE(number, name, severity, stage, needs, title) RULE_##name = number,
#include "report/rules.def"
#undef RULE
};

struct note {
    struct span span; /* may be no place */
    const char *text;
    struct note *next;
};

/* A change of the text that mends what was found. */
struct fix {
    struct span span;
    const char *text; /* instead of the span; NULL: no change is known */
    bool safe;        /* it says what was meant beyond doubt */
};

/* A severity that was chosen for some codes, on the command line or in the text. */
struct setting {
    enum rule first, last;
    enum severity severity;
    struct span covers; /* findings that begin here; none: everywhere */
    struct span span;   /* where it is written; none for the command line */
    const char *what;   /* as written in the text; NULL for the command line */
    const char *reason;
    bool met;
};

struct finding {
    enum rule rule;
    enum severity severity;
    struct span span;
    const char *message;
    struct note *notes; /* in the order they were given */
    const char *help;   /* what to do next; NULL where the message says it */
    struct fix fix;
    const struct setting *setting; /* that gave it its severity; NULL: its own */
    size_t order;                  /* of being found */
    size_t subject;                /* what the report was about then */
    struct finding *repeat; /* the same once more, of another subject; dropped from the list */
};

struct report {
    struct arena *arena;
    const struct source_map *sources;
    array_of(struct finding *) findings;
    array_of(struct setting) settings;
    bool settings_full; /* there are more than LIMIT_SETTINGS, which is told once */
    size_t counts[SEVERITIES];
    size_t blocking;        /* findings on which nothing is built: faults, and errors */
    size_t own_errors;      /* findings that are errors whatever severity is set for them */
    size_t dropped;         /* beyond LIMIT_FINDINGS */
    struct finding surplus; /* what report_add gives back for those, and while muted */
    size_t subject;         /* 0: the text; else the number of the pattern at work, from 1 */
    enum severity least;    /* what is less severe is not printed */
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

/* What to write instead of a span, printf-like; nothing where the span is no place. */
__attribute__((format(printf, 5, 6))) void finding_fix(struct report *report,
                                                       struct finding *finding, bool safe,
                                                       struct span span, const char *format, ...);

/* Whether a code has fired since the report held `since` findings. */
bool report_fired(const struct report *report, enum rule rule, size_t since);

/* Whether a finding, or one it stands for, came up with a subject or with the text as a whole. */
bool finding_concerns(const struct finding *finding, size_t subject);
/* Gives the findings that begin in a span their severity again, by the settings there are now. */
void report_weigh_anew(struct report *report, struct span span);

/* Sorts by place, drops repeats. Call once, before printing. */
void report_finish(struct report *report);

/* The rule's code ("SV-301"), its title, its name in words ("strand missed"). */
const char *severity_word(enum severity severity);
char *rule_code(struct arena *arena, enum rule rule);
const char *rule_title(enum rule rule);
enum severity rule_severity(enum rule rule);

bool rule_exists(int number);

/* The rules in the order of their codes, from 0; `row` below rule_count(). */
size_t rule_count(void);
size_t rule_row(enum rule rule);

/* The report for people: place, line, caret, notes, help, and the line as it would be mended; at
 * most LIMIT_SHOWN findings, then how many more. Nothing at all where nothing was found. */
void report_text(const struct report *report, bool colour, struct output *out);

/* The findings as rows of a JSON list, parted by commas, and as results of a SARIF run. What stands
 * before the first and after the last of a whole run is in HEAD and TAIL. */
void report_json(const struct report *report, struct output *out);
void report_sarif(const struct report *report, struct output *out);
const char *report_json_head(size_t part); /* from 0; NULL behind the last */
const char *report_sarif_head(size_t part);
extern const char report_json_tail[], report_sarif_tail[];

/* The text of a source with every safe change made that does not touch another; how many.
 * `changes` counts them for each line, from 0. */
size_t report_mend(const struct report *report, const struct source *source, uint32_t *changes,
                   struct output *out);

#endif
