/* Judges the bytes of a text once, before anything else sees them. */
#ifndef SELVAGE_SYNTAX_READER_H
#define SELVAGE_SYNTAX_READER_H

#include "report/report.h"

#include <stdbool.h>

/* Whether the text can be parsed: UTF-8 without NUL, lines ended by LF or CRLF. What is wrong is
 * reported at its place. */
bool reader_judge(struct report *report, struct source *source);

#endif
