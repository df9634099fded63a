/* Formulas: doughs, preferments, soakers and fillings as baker's percentages. */
#ifndef MORROWLOAF_STORE_FORMULA_H
#define MORROWLOAF_STORE_FORMULA_H

#include "bakery/model.h"
#include "store/selection.h"

/* The words for enum basis, in its order; ends with NULL. */
extern const char *const formula_bases[];
/* The words for enum stage_use from USES_MIXER on; ends with NULL. */
extern const char *const stage_uses[];
/* The words for enum labour_per from LABOUR_PER_MIX on; ends with NULL. */
extern const char *const labour_pers[];

/* Formulas with their lines and stages, by code. */
bool formula_select(struct tx *tx, const struct selection *selection, struct formula **items,
                    size_t *count);
/* Creates or replaces it with its lines and stages; sets its new revision. */
bool formula_put(struct tx *tx, struct formula *formula);
bool formula_delete(struct tx *tx, const char *code);

#endif
