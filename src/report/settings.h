/* Severities chosen by the user: on the command line for a code or a family of codes, or in the
 * text by a comment beside the line it is about, with the reason:
 *
 *     # ignore SV-511: this bench has no starting clamp
 *
 * The words are ignore, warn and error. */
#ifndef SELVAGE_REPORT_SETTINGS_H
#define SELVAGE_REPORT_SETTINGS_H

#include "report/report.h"

/* The codes that "SV-511" or "sv-511", a family ("order") or "all" means; false where it means
 * none. */
bool setting_codes(const char *what, size_t length, enum rule *first, enum rule *last);

/* The same of a list with commas between. */
bool setting_list_known(const char *list);
void setting_for_run(struct report *report, const char *list, enum severity severity);

/* What a comment stands by: the statement or the definition of which words stand before it, and
 * whether that goes on behind it; or the one that comes next. */
struct setting_place {
    struct span begun; /* none: nothing stands before */
    bool next, goes_on;
    int depth; /* of a definition that goes on: its open braces */
};

/* Takes a comment that is a setting; a finding where it is meant as one and not understood. */
void setting_from_comment(struct report *report, const struct source *source, struct span comment,
                          struct setting_place place);

/* Settings written in a text that have met nothing. */
void judge_idle_settings(struct report *report, const struct source *source);

#endif
