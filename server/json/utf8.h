/* UTF-8, one character at a time. */
#ifndef MORROWLOAF_JSON_UTF8_H
#define MORROWLOAF_JSON_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* The character at the beginning of a NUL-terminated text and its length in bytes, 1 to 4; 0 when
 * the bytes are not UTF-8 (overlong forms, surrogates and what is beyond U+10FFFF are not). */
size_t utf8_decode(const char *text, uint32_t *character);

#endif
