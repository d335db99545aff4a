/* What is meant by words that come from habit, and what the language writes instead.
 * Knows the parse in progress; no model. */
#ifndef SELVAGE_SYNTAX_HABITS_H
#define SELVAGE_SYNTAX_HABITS_H

#include "syntax/build.h"

/* A word the parser did not expect, with what stands round it. */
struct misfit {
    struct syntax *syntax;
    struct span span;
    const char *word;   /* as written; "" at a line's end */
    const char *before; /* the word before it in the statement; "" where there is none */
    const char *head;   /* the first word of the statement; "" where it is this one */
    const char *line;   /* from it to its line's end */
    const char *rest;   /* what follows it in its line: in `line` */
    const char *const *expected;
    size_t count;
    bool at_end; /* the line or the text ends here */
};

/* What to tell of it: a message of its own, help, and what to write in place of a span. */
struct advice {
    const char *message, *help, *instead; /* NULL: none is known */
    struct span place;
    bool safe;
};

bool misfit_expects(const struct misfit *misfit, const char *what);

/* No help where nothing is known. */
struct advice habit_of(const struct misfit *misfit);

/* The length of a word at the beginning of a text: 0 where it does not stand there as a whole. */
size_t word_at_start(const char *text, const char *word);

/* How much of what follows in a line belongs to a title that lacks its quotes: up to a word that
 * ends it (NULL: none), a brace, a comment; without the blanks behind it. */
size_t unquoted_length(const char *text, const char *end_word);

#endif
