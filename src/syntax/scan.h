/* What the scanner's rules call: what a word is, and what to say of one that is none.
 * Knows the parse in progress and the tokens; no grammar. */
#ifndef SELVAGE_SYNTAX_SCAN_H
#define SELVAGE_SYNTAX_SCAN_H

#include "syntax/build.h"

#include "selvage.tab.h"

#define YYSTYPE SELVAGE_YYSTYPE
#define YYLTYPE SELVAGE_YYLTYPE

/* Asked of every word and every blank. */
static inline struct span scan_span(const struct syntax *syntax, const char *text, size_t length) {
    uint32_t start = syntax->source->base + (uint32_t)(text - syntax->source->bytes);
    return (struct span){start, start + (uint32_t)length};
}

/* Empty lines end nothing: past those that follow a line's end. */
static inline char *scan_past_empty_lines(char *at) {
    char *past = at;
    for (; *at == ' ' || *at == '\n' || *at == '\t' || *at == '\r'; at++)
        if (*at == '\n') past = at + 1;
    return past;
}

/* A comment runs to its line's end: how long it is. It may set severities; a layout keeps it and
 * asks nothing. */
size_t scan_comment(struct syntax *syntax, const char *text);
void scan_to_layout(struct syntax *syntax, int kind, struct span span);

/* Each gives the token back and fills its value. A word that is none is reported here, once, and
 * handed on as the error token. */
int scan_title(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_open_title(struct syntax *syntax, const char *text, size_t length,
                    union syntax_value *value);
int scan_number(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_comma_number(struct syntax *syntax, const char *text, size_t length,
                      union syntax_value *value);
int scan_point_first(struct syntax *syntax, const char *text, size_t length,
                     union syntax_value *value);
int scan_points(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_hole(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_word(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_foreign(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);
int scan_stray(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);

/* A bracket at a line's end, or a closing one: where it must be meant for a brace, that brace's
 * token, so that what follows is read as it is meant. */
int scan_bracket(struct syntax *syntax, const char *text, size_t length, union syntax_value *value);

/* How much of a title that is not closed is taken for it: a "{" at the end of its line still opens
 * a block. */
size_t scan_up_to_brace(struct syntax *syntax, const char *text, size_t length,
                        union syntax_value *value);

/* For digits with letters behind them: how many digits form a number of their own, as in 26lb;
 * 0 where the whole is a hole or is meant as one. */
size_t scan_glued_digits(struct syntax *syntax, const char *text, size_t length,
                         union syntax_value *value);

/* The nearest word of the language to a misspelt one; NULL where none is near. */
const char *scan_nearest_keyword(struct syntax *syntax, const char *text);

/* The token of a word of the language; 0 where it is none. */
int keyword_token(const char *text, size_t length);

/* Memory for flex's own records. */
void *scan_alloc(void *scanner, size_t size);
void *scan_realloc(void *scanner, void *old, size_t size);
_Noreturn void scan_give_up(void *scanner);

#endif
