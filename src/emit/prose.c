/* Words into lines, and characters past Markdown. */
#include "emit/prose.h"

#include "ground/utf8.h"

#include <string.h>

void put_wrapped(struct output *out, const char *text, size_t column, size_t indent) {
    bool line_start = true;
    while (*text != '\0') {
        size_t length = strcspn(text, " ");
        char *word = arena_copy(out->arena, text, length);
        size_t width = utf8_width(word);
        if (!line_start && column + 1 + width > WIDTH) {
            put_char(out, '\n');
            put_repeat(out, ' ', indent);
            column = indent;
            line_start = true;
        }
        if (!line_start) {
            put_char(out, ' ');
            column++;
        }
        put(out, word);
        column += width;
        line_start = false;
        text += length;
        while (*text == ' ')
            text++;
    }
    put_char(out, '\n');
}

void put_markdown(struct output *out, const char *text) {
    for (; *text != '\0'; text++) {
        if (strchr("\\`*_{}[]<>()#+-!|~&", *text) != NULL &&
            (*text != '-' && *text != '(' && *text != ')' && *text != '+'))
            put_char(out, '\\');
        put_char(out, *text);
    }
}
