/* Pieces of HTML. */
#include "emit/html.h"

#include "emit/svg.h"

void put_html(struct output *out, const char *text) { svg_text(out, text); }

void put_lines(struct output *out, const char *const *lines) {
    for (; *lines != NULL; lines++)
        put(out, *lines);
}
