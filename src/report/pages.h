/* The pages that say what each code means, and lists of the codes. The text lies in the program, as
 * docs/findings has it, and is not touched before it is asked for. */
#ifndef SELVAGE_REPORT_PAGES_H
#define SELVAGE_REPORT_PAGES_H

#include <stdbool.h>
#include <stddef.h>

/* Finds the text for "SV-301", "sv-301" or "301", for a family ("3" or "route": its codes) or for
 * NULL (every code). False where there is none such: then the text lists the codes of the family
 * that the first digit names, or the families. */
bool page_find(const char *code, const char **bytes, size_t *length);

#endif
