/* UTF-8: decoding, and how many columns a character takes on a terminal or a printer. */
#ifndef SELVAGE_GROUND_UTF8_H
#define SELVAGE_GROUND_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* Decodes the character at `bytes`; `*length` becomes its bytes (1 to 4). Bytes that are no UTF-8
 * give UTF8_BAD and a length of 1. `left` must be at least 1. */
#define UTF8_BAD UINT32_MAX
uint32_t utf8_decode(const char *bytes, size_t left, size_t *length);

/* 0, 1 or 2 columns. */
int utf8_columns(uint32_t character);

/* Columns of a whole text, closed by a NUL. */
size_t utf8_width(const char *text);

#endif
