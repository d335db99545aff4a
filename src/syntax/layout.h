/* The one layout: a text that can be read, printed as every text is. The scanner hands every word
 * and every comment over; at the end of a definition what has come is printed. No tree is needed:
 * the words, and the line ends between them, say it all.
 * Knows words and their kinds; no grammar. */
#ifndef SELVAGE_SYNTAX_LAYOUT_H
#define SELVAGE_SYNTAX_LAYOUT_H

#include "ground/output.h"
#include "ground/source.h"

/* Beside the kinds of tokens. */
enum { WORD_COMMENT = -1 };

/* A token, a comment, or a line's end: bytes [start, end) of the source. */
struct word {
    uint32_t start, end;
    int kind;
};

enum { LAYOUT_INDENT = 2, LAYOUT_COLUMNS = 100 };

/* What has been printed last outside every block. */
enum layout_before { BEFORE_NOTHING, BEFORE_USE, BEFORE_ONE_LINE, BEFORE_BLOCK };

/* Definitions of one line each that stand together: how wide their parts are. */
struct layout_run {
    size_t end; /* the word after the last of them */
    size_t kind, name, rest;
};

struct layout {
    struct arena *arena;
    const char *bytes; /* of the source */
    struct output *out;
    array_of(struct word) words; /* not printed yet */
    enum layout_before before;
    bool comment_before; /* a comment on lines of its own stands between `before` and here */
    size_t feeds;        /* line feeds since the last thing printed */
    struct layout_run run;
    /* The arena when the words printed last were forgotten, and where what must stay lay then. */
    struct arena_mark mark;
    const void *words_then, *text_then;
};

struct layout layout_of(struct arena *arena, const struct source *source, struct output *out);

static inline void layout_take(struct layout *layout, int kind, size_t start, size_t end) {
    struct word *word = array_add(layout->arena, &layout->words);
    *word = (struct word){(uint32_t)start, (uint32_t)end, kind};
}

/* The same for a line's end, a line feed or ";", where it says anything: the third in a row and all
 * after it do not. */
void layout_take_end(struct layout *layout, int kind, size_t start, size_t end);

/* Prints the words taken so far: whole definitions, or the end of the text. */
void layout_print(struct layout *layout);

/* Whether the definition that has just ended may be printed: not while it may stand in a row of
 * definitions of one line, which are printed together. */
bool layout_due(const struct layout *layout);

/* Gives back what the arena has given since the last time, but for what must stay. True where it
 * could. */
bool layout_forget(struct layout *layout);

/* The last line feed, if any: the text ends with one. */
void layout_close(struct layout *layout);

#endif
