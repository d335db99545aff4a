/* The words of the language by perfect hash, made by gperf from grammar/keywords.def. */
#include "syntax/scan.h"

#include "ground/nearest.h"

#include <string.h>

/* Words are short: a loop is done before a call of the library's has begun. */
static inline int differ(const char *left, const char *right, size_t length) {
    while (length > 0 && *left == *right) {
        left++;
        right++;
        length--;
    }
    return length > 0;
}

#define memcmp differ
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wconversion"
#include "keywords.inc"
#pragma GCC diagnostic pop
#undef memcmp

int keyword_token(const char *text, size_t length) {
    const struct keyword *keyword = keyword_find(text, length);
    return keyword != NULL ? keyword->token : 0;
}

const char *scan_nearest_keyword(struct syntax *syntax, const char *text) {
    static const char *const words[] = {
#define WORD(token, spelling) spelling,
#include "keywords.def"
#undef WORD
    };
    (void)syntax;
    return nearest_of(text, words, sizeof words / sizeof *words);
}
