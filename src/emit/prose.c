/* Words into lines, and characters past Markdown. */
#include "emit/prose.h"

#include "ground/utf8.h"

#include <string.h>

static size_t word_length(const char *text) { return strcspn(text, " "); }

/* Up to a space behind a comma or before a sign. */
static size_t term_length(const char *text) {
    size_t length = word_length(text);
    while (text[length] == ' ' && text[length - 1] != ',' &&
           (strchr("+-=", text[length + 1]) == NULL || text[length + 2] != ' '))
        length += 1 + word_length(text + length + 1);
    return length;
}

static void put_pieces(struct output *out, const char *text, size_t column, size_t indent,
                       size_t (*piece_length)(const char *text)) {
    bool line_start = true;
    while (*text != '\0') {
        size_t length = piece_length(text);
        char *piece = arena_copy(out->arena, text, length);
        size_t width = utf8_width(piece);
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
        put(out, piece);
        column += width;
        line_start = false;
        text += length;
        while (*text == ' ')
            text++;
    }
    put_char(out, '\n');
}

void put_wrapped(struct output *out, const char *text, size_t column, size_t indent) {
    put_pieces(out, text, column, indent, word_length);
}

void put_terms(struct output *out, const char *text, size_t column, size_t indent) {
    put_pieces(out, text, column, indent, term_length);
}

void put_markdown(struct output *out, const char *text) {
    for (; *text != '\0'; text++) {
        if (strchr("\\`*_{}[]<>()#+-!|~&", *text) != NULL &&
            (*text != '-' && *text != '(' && *text != ')' && *text != '+'))
            put_char(out, '\\');
        put_char(out, *text);
    }
}
