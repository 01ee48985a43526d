export interface Slider {
  unit: string;
  minimum: number;
  maximum: number;
  step: number;
  /** Where the handle stands while the field is empty. */
  start: number;
}
