/* Severities chosen by the user: on the command line for a code or a family of codes, or in the
 * text by a comment beside the line it is about, with the reason:
 *
 *     # ignore SV-511: this bench has no starting clamp
 *
 * The words are ignore, warn and error. */
#ifndef SELVAGE_REPORT_SETTINGS_H
#define SELVAGE_REPORT_SETTINGS_H

#include "report/report.h"

/* The codes that "SV-511", a family ("order") or "all" means; false where it means none. */
bool setting_codes(const char *what, size_t length, enum rule *first, enum rule *last);

void setting_for_run(struct report *report, const char *what, enum severity severity);

/* Takes a comment that is a setting; a finding where it is meant as one and not understood. */
void setting_from_comment(struct report *report, const struct source *source, struct span comment);

/* Settings written in a text that have met nothing. */
void judge_idle_settings(struct report *report, const struct source *source);

#endif
