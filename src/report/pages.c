/* The pages by code, from what pages.awk made of docs/findings. */
#include "report/pages.h"

#include "report/settings.h"

#include <string.h>

/* Where a page or list begins in the text: found by the number of its code or family, or a key. */
struct piece {
    int key;
    unsigned start, length;
};

enum { ALL_CODES = -1, FAMILIES = -2, NO_CODE = -3 };

/* A text longer than a compiler must take; gcc and clang take it. */
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Woverlength-strings"
#include "pages.inc"
#pragma GCC diagnostic pop

static bool find(int key, const char **bytes, size_t *length) {
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++) {
        if (pieces[i].key != key) continue;
        *bytes = text + pieces[i].start;
        *length = pieces[i].length;
        return true;
    }
    return false;
}

/* What follows "SV-", written in capitals or not; the whole of a word without it. */
static const char *after_letters(const char *code) {
    bool letters = (code[0] == 'S' || code[0] == 's') && (code[1] == 'V' || code[1] == 'v');
    return letters && code[2] == '-' ? code + 3 : code;
}

static int number_of(const char *digits) {
    size_t count = strspn(digits, "0123456789");
    if (count == 0 || count > 3 || digits[count] != '\0') return NO_CODE;
    int number = 0;
    for (; *digits != '\0'; digits++)
        number = 10 * number + (*digits - '0');
    return number;
}

bool page_find(const char *code, const char **bytes, size_t *length) {
    if (code == NULL) return find(ALL_CODES, bytes, length);
    enum rule first, last;
    if (setting_codes(code, strlen(code), &first, &last) && first != last)
        return find(last == RULE_last ? ALL_CODES : (int)first / 100, bytes, length);
    const char *digits = after_letters(code);
    if (find(number_of(digits), bytes, length)) return true;
    bool family = digits[0] > '0' && digits[0] <= '9';
    if (!family || !find(digits[0] - '0', bytes, length)) find(FAMILIES, bytes, length);
    return false;
}
