/* Pieces of HTML. */
#include "emit/html.h"

#include "emit/svg.h"

void put_html(struct output *out, const char *text) { svg_text(out, text); }

void put_html_fact(struct output *out, const char *name, const char *text) {
    put(out, "<dt>");
    put_html(out, name);
    put(out, "</dt><dd>");
    put_html(out, text);
    put(out, "</dd>\n");
}

void put_html_items(struct output *out, const char *const *texts) {
    for (; *texts != NULL; texts++) {
        put(out, "<li>");
        put_html(out, *texts);
        put(out, "</li>\n");
    }
}

void put_lines(struct output *out, const char *const *lines) {
    for (; *lines != NULL; lines++)
        put(out, *lines);
}
