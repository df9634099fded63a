/* UTF-8, one character at a time. A continuation byte is looked at only when the one before it was
 * good, so the NUL at the end of a text is never passed. */
#include "json/utf8.h"

size_t utf8_decode(const char *text, uint32_t *character)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000}; /* by length: below is overlong */
    unsigned char lead = (unsigned char)text[0];
    if (lead < 0x80) {
        *character = lead;
        return 1;
    }
    size_t length = lead >= 0xf0 ? 4 : lead >= 0xe0 ? 3 : 2;
    if (lead < 0xc2 || lead > 0xf4) return 0;
    uint32_t value = lead & (0x7fu >> length);
    for (size_t i = 1; i < length; i++) {
        unsigned char next = (unsigned char)text[i];
        if ((next & 0xc0) != 0x80) return 0;
        value = value << 6 | (next & 0x3f);
    }
    if (value < least[length] || value > 0x10ffff || (value >= 0xd800 && value <= 0xdfff)) return 0;
    *character = value;
    return length;
}
