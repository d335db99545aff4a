/* UTF-8 decoding (RFC 3629: shortest form, no surrogates, up to U+10FFFF) and widths. */
#include "ground/utf8.h"

#include <string.h>

static const struct {
    uint32_t first, last;
    int columns;
} ranges[] = {
#define RANGE(first, last, columns) {first, last, columns},
#include "ground/widths.def"
#undef RANGE
};

uint32_t utf8_decode(const char *bytes, size_t left, size_t *length) {
    const unsigned char *at = (const unsigned char *)bytes;
    *length = 1;
    if (at[0] < 0x80) return at[0];
    size_t more = at[0] >= 0xF0 ? 3 : at[0] >= 0xE0 ? 2 : 1;
    if (at[0] < 0xC2 || at[0] > 0xF4 || more >= left) return UTF8_BAD;
    static const unsigned char lead_bits[] = {0, 0x1F, 0x0F, 0x07};
    static const uint32_t least[] = {0, 0x80, 0x800, 0x10000};
    uint32_t character = at[0] & lead_bits[more];
    for (size_t i = 1; i <= more; i++) {
        if ((at[i] & 0xC0) != 0x80) return UTF8_BAD;
        character = character << 6 | (at[i] & 0x3F);
    }
    int surrogate = character >= 0xD800 && character <= 0xDFFF;
    if (character < least[more] || character > 0x10FFFF || surrogate) return UTF8_BAD;
    *length = more + 1;
    return character;
}

int utf8_columns(uint32_t character) {
    if (character < 0x300) return 1;
    size_t low = 0, high = sizeof ranges / sizeof *ranges;
    while (low < high) {
        size_t middle = (low + high) / 2;
        if (character > ranges[middle].last)
            low = middle + 1;
        else
            high = middle;
    }
    int within = low < sizeof ranges / sizeof *ranges && character >= ranges[low].first;
    return within ? ranges[low].columns : 1;
}

size_t utf8_width(const char *text) {
    size_t columns = 0;
    for (size_t left = strlen(text), length; left > 0; text += length, left -= length)
        columns += (size_t)utf8_columns(utf8_decode(text, left, &length));
    return columns;
}
