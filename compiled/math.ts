// the engine's own functions, so that compiled loops answer to the last digit as the rest of the program does
export declare function exp(x: f64): f64;
export declare function log(x: f64): f64;
export declare function hypot(x: f64, y: f64, z: f64): f64;
export declare function sin(x: f64): f64;
export declare function cos(x: f64): f64;
export declare function atan2(y: f64, x: f64): f64;
