/* Small pieces of HTML: escaped text, and the lines of what is built into a page. */
#ifndef SELVAGE_EMIT_HTML_H
#define SELVAGE_EMIT_HTML_H

#include "ground/output.h"

/* Text in which nothing is taken for markup, in an element or between double quotes. */
void put_html(struct output *out, const char *text);

/* <dt>NAME</dt><dd>TEXT</dd> */
void put_html_fact(struct output *out, const char *name, const char *text);

/* <li>TEXT</li> for each of some texts, closed by NULL. */
void put_html_items(struct output *out, const char *const *texts);

/* Lines closed by NULL, as they stand. */
void put_lines(struct output *out, const char *const *lines);

#endif
